// A way on which a test page gets to its device, and what can be seen of it from there.
//
// Behind it is a printer; in the unit tests one that does as it is told. On the io_context's thread.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "daemon/http/test_prints.h"
#include "daemon/testpage/page.h"
#include "probes/model/queue.h"
#include "probes/model/result.h"

namespace frisket::service {

// How the page has to be made for it.
struct PageWanted {
  testpage::PageFormat format{};
  testpage::Sheet sheet = testpage::Sheet::a4;
};

class TestPageWay {
 public:
  template <class T>
  using Awaitable = boost::asio::awaitable<T>;

  virtual ~TestPageWay() = default;

  virtual http::TestPrintOutcome::Way kind() const = 0;
  virtual std::string to() const = 0;               // TestPrintOutcome::to
  virtual std::string queue() const { return {}; }  // TestPrintOutcome::queue

  // Asks, and changes nothing. Kind invalid: nothing that we can make is taken.
  virtual Awaitable<model::Result<PageWanted>> wanted() = 0;

  // Hands the page over, once: never again by itself. The job's id; nothing where there is no job to follow.
  virtual Awaitable<model::Result<std::optional<std::int32_t>>> send(std::string job_name, std::string format,
                                                                     std::string octets) = 0;

  // Kind invalid: the printer does not know the job (any more).
  virtual Awaitable<model::Result<model::Job>> look(std::int32_t job) = 0;

  // What the printer says of itself: keywords of printer-state-reasons. Empty: nothing, or it does not answer.
  virtual Awaitable<std::vector<std::string>> reasons() = 0;
};

}  // namespace frisket::service
