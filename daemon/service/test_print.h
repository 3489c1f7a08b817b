// One test page, from the question which way it goes to the verdict.
//
// Time comes from the clock, everything else through narrow interfaces, so that the unit tests play printers of every
// kind in no time. On the io_context's thread.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <chrono>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "daemon/http/test_prints.h"
#include "daemon/service/test_page_way.h"
#include "daemon/testpage/page.h"
#include "probes/clock/clock.h"
#include "probes/model/queue.h"
#include "probes/model/result.h"

namespace frisket::service {

// The device's page counter, as the daemon's own polls read it.
class PageCounter {
 public:
  virtual ~PageCounter() = default;

  struct Count {
    std::optional<std::uint64_t> impressions;  // nothing: the device counts none
    model::WallTime at;                        // of the reading
  };
  virtual std::optional<Count> last() const = 0;  // nothing: it was never read
  // Asks for a poll now. False: nobody polls the device.
  virtual bool read_soon() = 0;
};

// Makes the page's octets, away from the thread that must not wait.
class PageMaker {
 public:
  virtual ~PageMaker() = default;
  virtual boost::asio::awaitable<model::Result<std::string>> make(testpage::PageContent content, PageWanted wanted) = 0;
};

// How long is waited for what. Common practice, no source.
struct TestPrintPatience {
  std::chrono::seconds whole{180};         // from handing the page over to the verdict
  std::chrono::seconds look{2};            // from one look at the job to the next
  std::chrono::seconds count_before{10};   // for a fresh reading of the counter
  std::chrono::seconds count_after{60};    // for the counter to rise, once the job is completed
  std::chrono::seconds count_between{10};  // from one reading of it to the next
  std::chrono::seconds stopped{20};        // a printer that stopped for so long has stopped
};

// What has been seen of a page that was handed over.
struct TestPrintSeen {
  std::optional<model::Job> job;  // as it was seen last; nothing: no job to follow, or not yet seen
  bool followed = true;           // false: the way has no jobs; the page counts as completed
  bool forgotten = false;         // the printer does not know the job any more
  bool stopped_long = false;      // for TestPrintPatience::stopped
  bool counting_over = false;     // the counter is not waited for any more
  bool time_over = false;
  std::optional<std::uint64_t> before;
  std::optional<std::uint64_t> after;

  bool completed() const;
  bool rose() const { return before && after && *after > *before; }
};

// Nothing: not yet decided; never once the time is over. Pure.
std::optional<http::TestVerdict> verdict_of(const TestPrintSeen& seen);

class TestPrintRun {
 public:
  // `ways` are tried in order until one takes what we can make; there is at least one. Everything else outlives run().
  TestPrintRun(Clock& clock, PageMaker& maker, PageCounter& counter, std::vector<std::unique_ptr<TestPageWay>> ways,
               TestPrintPatience patience = {});

  // Ends in bounded time: with the outcome, or, where nothing was tried, with why not. In a dry run: with
  // what would be done. `sleeper` may be woken to end it early: then the time is over. Once.
  boost::asio::awaitable<model::Result<http::TestPrintOutcome>> run(http::TestPrint asked,
                                                                    testpage::PageContent content, Sleeper& sleeper);

 private:
  boost::asio::awaitable<model::Result<PageWanted>> choose();
  boost::asio::awaitable<void> count_before(Sleeper& sleeper);
  boost::asio::awaitable<http::TestVerdict> follow(std::optional<std::int32_t> job, Sleeper& sleeper);
  boost::asio::awaitable<void> look(std::int32_t job);
  void count();
  bool waits(model::SteadyTime since, std::chrono::seconds span) const;

  Clock& clock_;
  PageMaker& maker_;
  PageCounter& counter_;
  std::vector<std::unique_ptr<TestPageWay>> ways_;
  TestPrintPatience patience_;
  TestPageWay* way_ = nullptr;
  TestPrintSeen seen_;
  std::string trouble_;  // what went wrong last; empty: nothing
  model::SteadyTime sent_{};
  std::optional<model::SteadyTime> stopped_since_;
  std::optional<model::SteadyTime> completed_since_;
  std::optional<model::SteadyTime> counted_at_;
  bool ended_early_ = false;
};

// The sentences for a person. Pure. `trouble`: why it was not taken, or what the last look met.
std::string said_of(const http::TestPrintOutcome& outcome, const std::string& trouble);

}  // namespace frisket::service
