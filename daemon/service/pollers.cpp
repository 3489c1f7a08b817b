#include "daemon/service/pollers.h"

#include <spdlog/spdlog.h>

#include <utility>
#include <vector>

namespace frisket::service {
namespace {

namespace asio = boost::asio;

void log_escaped(const std::string& task, std::exception_ptr what) {
  try {
    std::rethrow_exception(what);
  } catch (const std::exception& failure) {
    spdlog::error("[poll-task-ended] polling {} ended by an internal error: {}", task, failure.what());
  }
}

std::vector<config::Credential> credentials_of(const config::Device& device, const config::Config& config) {
  std::vector<config::Credential> found;
  for (const auto& name : device.credentials)
    if (const auto* credential = config.find_credential(name)) found.push_back(*credential);
  return found;
}

}  // namespace

struct Pollers::Entry {
  config::Device device;
  std::vector<config::Credential> credentials;
  std::unique_ptr<Probe> probe;
  std::unique_ptr<Sleeper> sleeper;
  model::SteadyTime due;
  bool ended = false;
};

Pollers::Pollers(asio::any_io_executor executor, Clock& clock, MakeProbe make_probe, OnReading on_reading)
    : executor_(executor),
      clock_(clock),
      make_probe_(std::move(make_probe)),
      on_reading_(std::move(on_reading)),
      tasks_(executor, log_escaped) {}

Pollers::~Pollers() = default;

void Pollers::configure(const config::Config& config) {
  for (auto it = entries_.begin(); it != entries_.end();) {
    const auto& entry = *it->second;
    const auto* device = config.find_device(it->first);
    if (device && *device == entry.device && credentials_of(*device, config) == entry.credentials) {
      ++it;
    } else {
      end(*it->second);
      it = entries_.erase(it);
    }
  }
  std::size_t number = 0;
  for (const auto& device : config.devices)
    if (!entries_.contains(device.name)) start(device, config, number++);
}

void Pollers::start(const config::Device& device, const config::Config& config, std::size_t number) {
  auto entry = std::make_shared<Entry>();
  entry->device = device;
  entry->credentials = credentials_of(device, config);
  entry->probe = make_probe_(device, config);
  entry->sleeper = clock_.make_sleeper(executor_);
  entry->due = clock_.steady_now() + first_delay(number);
  entries_.emplace(device.name, entry);
  tasks_.spawn(device.name, run(entry));
}

void Pollers::end(Entry& entry) {
  entry.ended = true;
  entry.sleeper->wake();
}

asio::awaitable<void> Pollers::run(std::shared_ptr<Entry> entry) {
  auto beat = beat_of(entry->device.name, entry->device.poll_interval);
  while (true) {
    const auto woke = co_await entry->sleeper->until(entry->due);
    if (entry->ended) co_return;
    const auto started = clock_.steady_now();
    if (woke == Sleeper::Woke::due && started - entry->due > beat.interval / 2) ++counters_.late;

    const auto reading = co_await entry->probe->poll();
    if (entry->ended) co_return;
    ++counters_.finished;
    if (reading.reach != model::Reach::answered) ++counters_.missed;
    beat = beat_of(entry->device.name, interval_of(entry->device, on_reading_(reading)));
    entry->due = next_due(beat, started, clock_.steady_now());
  }
}

bool Pollers::poll_soon(const std::string& device) {
  const auto found = entries_.find(device);
  if (found == entries_.end()) return false;
  found->second->sleeper->wake();
  return true;
}

void Pollers::stop() {
  for (auto& [name, entry] : entries_) end(*entry);
  entries_.clear();
}

}  // namespace frisket::service
