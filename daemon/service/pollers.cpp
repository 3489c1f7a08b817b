#include "daemon/service/pollers.h"

namespace frisket::service {
std::vector<config::Credential> credentials_of(const config::Device& device, const config::Config& config) {
  std::vector<config::Credential> found;
  for (const auto& name : device.credentials)
    if (const auto* credential = config.find_credential(name)) found.push_back(*credential);
  return found;
}

namespace {

bool answered(const model::DeviceReading& reading) { return reading.reach == model::Reach::answered; }

}  // namespace

Pollers::Pollers(boost::asio::any_io_executor executor, Clock& clock, MakeProbe make_probe, OnReading on_reading)
    : make_probe_(std::move(make_probe)), on_reading_(std::move(on_reading)), tasks_(std::move(executor), clock) {}

void Pollers::configure(const config::Config& config) {
  for (auto it = settings_.begin(); it != settings_.end();) {
    const auto& settings = *it->second;
    const auto* device = config.find_device(it->first);
    if (device && *device == settings.device && credentials_of(*device, config) == settings.credentials) {
      ++it;
    } else {
      tasks_.end(it->first);
      it = settings_.erase(it);
    }
  }
  std::size_t number = 0;
  for (const auto& device : config.devices)
    if (!settings_.contains(device.name)) start(device, config, number++);
}

void Pollers::start(const config::Device& device, const config::Config& config, std::size_t number) {
  auto settings = std::make_shared<const Settings>(Settings{device, credentials_of(device, config)});
  auto take = [this, settings](const model::DeviceReading& reading) {
    return interval_of(settings->device, on_reading_(reading));
  };
  tasks_.start(device.name,
               std::make_unique<ProbedSubject<model::DeviceReading>>(make_probe_(device, config), answered, take),
               device.poll_interval, number);
  settings_.emplace(device.name, std::move(settings));
}

void Pollers::stop() {
  tasks_.stop();
  settings_.clear();
}

}  // namespace frisket::service
