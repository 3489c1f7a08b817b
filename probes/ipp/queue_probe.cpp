#include "probes/ipp/queue_probe.h"

#include <algorithm>
#include <map>
#include <utility>

#include "probes/ipp/operations.h"
#include "probes/ipp/queue_decode.h"

namespace frisket::ipp {
namespace {

using model::QueueReach;
using Kind = model::Error::Kind;

constexpr std::int32_t kMaxJobsOfQueue = 200;
constexpr std::int32_t kMaxJobsOfSpooler = 5000;
constexpr std::size_t kMaxQueues = 2000;

QueueReach reach_of(const model::Error& error) {
  switch (error.kind) {
    case Kind::silent:
      return QueueReach::silent;
    case Kind::refused:
      return QueueReach::refused;
    default:
      return QueueReach::nonsense;
  }
}

// The jobs of an answer, in its order.
struct Listed {
  std::string path;  // of job-printer-uri
  model::Job job;
};

std::vector<Listed> jobs_in(const Reply& reply, std::optional<model::Seconds> up_time) {
  std::vector<Listed> out;
  for (const auto* group : reply.message.all(GroupTag::job))
    if (auto job = job_from(*group, up_time); job && !model::is_over(job->state))
      out.push_back({path_of(group->text("job-printer-uri", 1023)), std::move(*job)});
  return out;
}

void add(model::QueueSnapshot& queue, model::Job job) {
  if (queue.jobs.size() < static_cast<std::size_t>(kMaxJobsOfQueue)) {
    queue.jobs.push_back(std::move(job));
  } else if (queue.gaps.empty() || !queue.gaps.back().starts_with("jobs:")) {
    queue.gaps.push_back("jobs: more than 200, the rest left out");
  }
}

}  // namespace

boost::asio::awaitable<model::QueueReading> QueueProbe::poll() {
  model::QueueReading reading;
  reading.queue = name_;
  auto printer = co_await get_printer_attributes(client_, queue_attributes());
  reading.at = clock_.wall_now();
  if (!printer) {
    reading.reach = reach_of(printer.error());
    reading.detail = printer.error().text();
    co_return reading;
  }
  const auto* group = printer->message.first(GroupTag::printer);
  if (!printer->ok() || group == nullptr) {
    auto error = error_of(*printer, "Get-Printer-Attributes", client_.target().uri);
    if (printer->ok()) error = {Kind::nonsense, error.doing, error.whom, "its answer says nothing about a printer"};
    reading.reach = printer->absent() ? QueueReach::absent : reach_of(error);
    reading.detail = error.text();
    co_return reading;
  }
  auto queue = std::make_shared<model::QueueSnapshot>(queue_from(*group));

  JobsWanted wanted;
  wanted.limit = kMaxJobsOfQueue + 1;
  auto jobs = co_await get_jobs(client_, std::move(wanted));
  reading.at = clock_.wall_now();
  if (jobs && jobs->ok()) {
    queue->jobs_known = true;
    for (auto& listed : jobs_in(*jobs, queue->up_time)) add(*queue, std::move(listed.job));
  } else {
    const auto error = jobs ? error_of(*jobs, "Get-Jobs", client_.target().uri) : jobs.error();
    queue->gaps.push_back("jobs: " + error.text());
  }
  reading.reach = QueueReach::answered;
  reading.snapshot = std::move(queue);
  co_return reading;
}

SpoolerProbe::SpoolerProbe(Transport& transport, Clock& clock, std::string name, Target target)
    : clock_(clock), name_(std::move(name)), client_(transport, root_of(std::move(target))) {}

boost::asio::awaitable<model::SpoolerReading> SpoolerProbe::poll() {
  model::SpoolerReading reading;
  reading.spooler = name_;
  auto printers = co_await get_queues(client_, queue_attributes());
  reading.at = clock_.wall_now();
  if (!printers) {
    reading.reach = reach_of(printers.error());
    reading.detail = printers.error().text();
    co_return reading;
  }
  if (!printers->ok() && !(printers->http == 200 && printers->absent())) {
    const auto error = error_of(*printers, "reading the list of queues", client_.target().uri);
    reading.reach = reach_of(error);
    reading.detail = error.text();
    co_return reading;
  }
  reading.reach = QueueReach::answered;
  std::map<std::string, std::shared_ptr<model::QueueSnapshot>> by_path;
  std::vector<std::shared_ptr<model::QueueSnapshot>> queues;
  std::optional<model::Seconds> up_time;
  for (const auto* group : printers->message.all(GroupTag::printer)) {
    if (queues.size() == kMaxQueues) {
      reading.gaps.push_back("queues: more than 2000, the rest left out");
      break;
    }
    auto queue = std::make_shared<model::QueueSnapshot>(queue_from(*group));
    if (queue->name.empty()) continue;
    if (queue->up_time) up_time = queue->up_time;
    by_path.emplace(path_of(queue->uri), queue);
    queues.push_back(std::move(queue));
  }
  if (!queues.empty()) {
    JobsWanted wanted;
    wanted.limit = kMaxJobsOfSpooler;
    auto jobs = co_await get_jobs(client_, std::move(wanted));
    reading.at = clock_.wall_now();
    if (jobs && jobs->ok()) {
      for (auto& queue : queues) queue->jobs_known = true;
      for (auto& listed : jobs_in(*jobs, up_time))
        if (const auto found = by_path.find(listed.path); found != by_path.end())
          add(*found->second, std::move(listed.job));
    } else {
      const auto error = jobs ? error_of(*jobs, "Get-Jobs", client_.target().uri) : jobs.error();
      reading.gaps.push_back("jobs: " + error.text());
    }
  }
  std::ranges::sort(queues, {}, [](const auto& queue) { return queue->name; });
  reading.queues.assign(queues.begin(), queues.end());
  co_return reading;
}

}  // namespace frisket::ipp
