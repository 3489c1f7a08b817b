#include "daemon/service/queue_pollers.h"

#include <utility>

namespace frisket::service {
namespace {

using model::QueueReach;

// A service that says that it has no such queue has answered.
bool queue_answered(const model::QueueReading& reading) {
  return reading.reach == QueueReach::answered || reading.reach == QueueReach::absent;
}

bool spooler_answered(const model::SpoolerReading& reading) { return reading.reach == QueueReach::answered; }

// A queue and a spooler may have the same name.
std::string queue_task(const std::string& name) { return "queue " + name; }
std::string spooler_task(const std::string& name) { return "spooler " + name; }

}  // namespace

QueuePollers::QueuePollers(boost::asio::any_io_executor executor, Clock& clock, Make make, Take take)
    : make_(std::move(make)), take_(std::move(take)), tasks_(std::move(executor), clock) {}

void QueuePollers::configure(const config::Config& config) {
  std::map<std::string, Settings> wanted;
  for (const auto& spooler : config.spoolers) wanted.emplace(spooler_task(spooler.name), spooler);
  for (const auto& queue : config.queues)
    if (spooler_of(queue, config.spoolers) == nullptr) wanted.emplace(queue_task(queue.name), queue);

  std::erase_if(settings_, [&](const auto& each) {
    const auto found = wanted.find(each.first);
    if (found != wanted.end() && found->second == each.second) return false;
    tasks_.end(each.first);
    return true;
  });
  std::size_t number = 0;
  for (auto& [task, settings] : wanted) {
    if (settings_.contains(task)) continue;
    start(task, settings, number++);
    settings_.emplace(task, std::move(settings));
  }
}

void QueuePollers::start(const std::string& task, const Settings& settings, std::size_t number) {
  if (const auto* queue = std::get_if<config::Queue>(&settings)) {
    const Span interval = queue->poll_interval;
    auto take = [this, interval](const model::QueueReading& reading) {
      take_.queue(reading);
      return interval;
    };
    tasks_.start(task, std::make_unique<ProbedSubject<model::QueueReading>>(make_.queue(*queue), queue_answered, take),
                 interval, number);
  } else {
    const auto& spooler = std::get<config::Spooler>(settings);
    const Span interval = spooler.poll_interval;
    auto take = [this, interval](const model::SpoolerReading& reading) {
      take_.spooler(reading);
      return interval;
    };
    tasks_.start(task,
                 std::make_unique<ProbedSubject<model::SpoolerReading>>(make_.spooler(spooler), spooler_answered, take),
                 interval, number);
  }
}

bool QueuePollers::poll_soon(const std::string& queue, const std::string& spooler) {
  return tasks_.poll_soon(spooler.empty() ? queue_task(queue) : spooler_task(spooler));
}

void QueuePollers::stop() {
  tasks_.stop();
  settings_.clear();
}

}  // namespace frisket::service
