// Test pages: which way they go, one at a time for each device, and telling what became of them.
//
// On the io_context's thread; pages are drawn on a thread of their own.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "config/config.h"
#include "daemon/http/commands.h"
#include "daemon/incidents/correlator.h"
#include "daemon/incidents/incident_id.h"
#include "daemon/service/test_print.h"
#include "probes/clock/clock.h"
#include "probes/clock/task_group.h"
#include "probes/ipp/transport.h"

namespace frisket::service {

class TestPrinter {
 public:
  using PollSoon = std::function<bool(const std::string& device)>;
  using Ended = std::function<void(const http::TestPrintOutcome&)>;

  // Transport, clock and correlator must outlive it. `ended` is told of each page that was tried; not of dry runs.
  TestPrinter(boost::asio::any_io_executor executor, Clock& clock, ipp::Transport& transport,
              const incidents::Correlator& correlator, PollSoon poll_soon, Ended ended);
  ~TestPrinter();

  // Commands::test_print().
  void print(const config::Config& config, http::TestPrint asked, http::Commands::TestPrinted done);

  // Pages that are followed get their verdict at once: what was printed is not forgotten.
  void stop();
  std::size_t running() const { return tasks_.running(); }

 private:
  class Counter;
  class Maker;
  struct Task;

  model::Result<std::vector<std::unique_ptr<TestPageWay>>> way_for(const config::Config& config,
                                                                   const http::TestPrint& asked);
  testpage::PageContent content_for(const config::Config& config, const http::TestPrint& asked);
  std::vector<std::string> with_proof(const std::string& device, incidents::Proof proof) const;
  boost::asio::awaitable<void> run(std::shared_ptr<Task> task);

  boost::asio::any_io_executor executor_;
  Clock& clock_;
  ipp::Transport& transport_;
  const incidents::Correlator& correlator_;
  PollSoon poll_soon_;
  Ended ended_;
  std::unique_ptr<Maker> maker_;
  incidents::IncidentIds page_ids_;                         // of the same form
  std::map<std::string, std::shared_ptr<Task>> under_way_;  // by device
  bool stopped_ = false;
  TaskGroup tasks_;
};

}  // namespace frisket::service
