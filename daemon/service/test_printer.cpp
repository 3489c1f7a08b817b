#include "daemon/service/test_printer.h"

#include <spdlog/spdlog.h>

#include <algorithm>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/thread_pool.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <cstdio>
#include <optional>
#include <utility>

#include "config/local_clock.h"
#include "daemon/service/escaped.h"
#include "daemon/service/test_page_ways.h"

namespace frisket::service {
namespace {

namespace asio = boost::asio;
using incidents::Proof;

model::Error impossible(const std::string& device, std::string why) {
  return {model::Error::Kind::invalid, "printing a test page", device, std::move(why)};
}

// "2026-11-26 09:30 Europe/Dublin"
std::string local_time(model::WallTime now, const std::string& zone) {
  const auto local = config::LocalClock::of_site(zone).time_of(now);
  const auto day = std::chrono::floor<std::chrono::days>(local);
  const std::chrono::year_month_day date(day);
  const auto minutes = std::chrono::floor<std::chrono::minutes>(local - day).count();
  char text[40];
  std::snprintf(text, sizeof text, "%04d-%02u-%02u %02d:%02d ", static_cast<int>(date.year()),
                static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), static_cast<int>(minutes / 60),
                static_cast<int>(minutes % 60));
  return text + zone;
}

// Optional, since Asio wants to make an empty one.
asio::awaitable<std::optional<model::Result<std::string>>> draw(testpage::PageContent content, PageWanted wanted) {
  co_return std::optional(make_page(content, wanted.sheet, wanted.format));
}

}  // namespace

class TestPrinter::Counter final : public PageCounter {
 public:
  Counter(const incidents::Correlator& correlator, PollSoon poll_soon, std::string device)
      : correlator_(correlator), poll_soon_(std::move(poll_soon)), device_(std::move(device)) {}

  std::optional<Count> last() const override {
    const auto* status = correlator_.device(device_);
    if (status == nullptr || !status->snapshot || !status->last_reading_at) return std::nullopt;
    return Count{status->snapshot->impressions(), *status->last_reading_at};
  }
  bool read_soon() override { return poll_soon_(device_); }

 private:
  const incidents::Correlator& correlator_;
  PollSoon poll_soon_;
  std::string device_;
};

// A page takes up to seconds to draw.
class TestPrinter::Maker final : public PageMaker {
 public:
  asio::awaitable<model::Result<std::string>> make(testpage::PageContent content, PageWanted wanted) override {
    if (!thread_) thread_.emplace(1);
    auto work = draw(std::move(content), wanted);
    auto page = co_await asio::co_spawn(*thread_, std::move(work), asio::use_awaitable);
    co_return std::move(*page);
  }

 private:
  std::optional<asio::thread_pool> thread_;  // from the first page on
};

struct TestPrinter::Task {
  Task(const incidents::Correlator& correlator, PollSoon poll_soon, const std::string& device)
      : counter(correlator, std::move(poll_soon), device) {}

  http::TestPrint asked;
  testpage::PageContent content;
  http::Commands::TestPrinted done;
  std::vector<std::string> awaited;  // incidents whose proof it could be
  Counter counter;
  std::unique_ptr<Sleeper> sleeper;
  std::optional<TestPrintRun> run;
};

TestPrinter::TestPrinter(asio::any_io_executor executor, Clock& clock, ipp::Transport& transport,
                         const incidents::Correlator& correlator, PollSoon poll_soon, Ended ended)
    : executor_(std::move(executor)),
      clock_(clock),
      transport_(transport),
      correlator_(correlator),
      poll_soon_(std::move(poll_soon)),
      ended_(std::move(ended)),
      maker_(std::make_unique<Maker>()),
      tasks_(executor_, log_escaped) {}

TestPrinter::~TestPrinter() = default;

model::Result<std::vector<std::unique_ptr<TestPageWay>>> TestPrinter::way_for(const config::Config& config,
                                                                              const http::TestPrint& asked) {
  const auto* device = config.find_device(asked.device);
  if (device == nullptr) return impossible(asked.device, "no device of this name is configured");
  if (!asked.incident.empty()) {
    const auto* incident = correlator_.incident(asked.incident);
    if (incident == nullptr) return impossible(asked.device, "no incident with this id is known");
    const auto* queue = incident->queue ? correlator_.queue(*incident->queue) : nullptr;
    if (incident->device != asked.device && (queue == nullptr || queue->device != asked.device))
      return impossible(asked.device, "the incident is not about this device");
  }
  if (stopped_) return impossible(asked.device, "the daemon is stopping");
  if (!asked.dry_run && under_way_.contains(asked.device))
    return impossible(asked.device, "a test page of this device is being followed already");
  auto ways = ways_to(config, *device, transport_, clock_);
  if (ways.empty())
    return impossible(
        asked.device,
        "no way to print on this device is configured: it has neither ipp, nor a [[queue]] that names it, "
        "nor a raw_port");
  return ways;
}

testpage::PageContent TestPrinter::content_for(const config::Config& config, const http::TestPrint& asked) {
  testpage::PageContent content;
  content.device = asked.device;
  content.incident = asked.incident;
  const auto now = clock_.wall_now();
  content.page_id = page_ids_.next(now);
  if (const auto* device = config.find_device(asked.device)) {
    content.place = device->location;
    const auto* site = config.find_site(device->site);
    content.time = local_time(now, site != nullptr ? site->time_zone : "UTC");
  }
  return content;
}

std::vector<std::string> TestPrinter::with_proof(const std::string& device, Proof proof) const {
  std::vector<std::string> ids;
  for (const auto* incident : correlator_.incidents())
    if (incident->device == device && incident->proof == proof) ids.push_back(incident->id);
  return ids;
}

void TestPrinter::print(const config::Config& config, http::TestPrint asked, http::Commands::TestPrinted done) {
  auto ways = way_for(config, asked);
  if (!ways) return done(ways.error());
  auto task = std::make_shared<Task>(correlator_, poll_soon_, asked.device);
  task->content = content_for(config, asked);
  task->asked = std::move(asked);
  task->done = std::move(done);
  task->awaited = with_proof(task->asked.device, Proof::awaited);
  task->sleeper = clock_.make_sleeper(executor_);
  task->run.emplace(clock_, *maker_, task->counter, std::move(*ways));
  if (!task->asked.dry_run) under_way_.emplace(task->asked.device, task);
  tasks_.spawn("test page of " + task->asked.device, run(task));
}

asio::awaitable<void> TestPrinter::run(std::shared_ptr<Task> task) {
  auto outcome = co_await task->run->run(task->asked, task->content, *task->sleeper);
  if (task->asked.dry_run) {
    task->done(outcome);
    co_return;
  }
  under_way_.erase(task->asked.device);
  if (outcome && outcome->verdict == http::TestVerdict::printed) {
    // The reading that showed the page has told the rules as well.
    const auto held = with_proof(task->asked.device, Proof::held);
    for (const auto& id : task->awaited)
      if (std::ranges::find(held, id) != held.end()) outcome->proved.push_back(id);
    std::string ids;
    for (const auto& id : outcome->proved) ids += (ids.empty() ? "" : ", ") + id;
    if (!ids.empty()) outcome->said += " It is the proof that the fix holds of " + ids + ".";
  }
  if (outcome) {
    spdlog::info("[test-print] {}: page {} {}, {}", task->asked.device, outcome->page_id, to_text(*outcome->verdict),
                 outcome->said);
    ended_(*outcome);
  } else {
    spdlog::warn("[test-print] {}: nothing printed: {}", task->asked.device, outcome.error().what);
  }
  task->done(outcome);
}

void TestPrinter::stop() {
  stopped_ = true;
  for (const auto& [device, task] : under_way_) task->sleeper->wake();
}

}  // namespace frisket::service
