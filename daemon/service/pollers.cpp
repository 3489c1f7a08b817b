#include "daemon/service/pollers.h"

#include <utility>

#include "daemon/service/credentials_by_name.h"

namespace frisket::service {
namespace {

bool answered(const model::DeviceReading& reading) { return reading.reach == model::Reach::answered; }

}  // namespace

Pollers::Pollers(boost::asio::any_io_executor executor, Clock& clock, MakeProbe make_probe, OnReading on_reading)
    : make_probe_(std::move(make_probe)), on_reading_(std::move(on_reading)), tasks_(std::move(executor), clock) {}

void Pollers::configure(const config::Config& config) {
  CredentialsByName credentials(config);
  const auto devices = config.devices_by_name();
  for (auto it = settings_.begin(); it != settings_.end();) {
    const auto& settings = *it->second;
    const auto device = devices.find(it->first);
    if (device != devices.end() && *device->second == settings.device &&
        *credentials.of(device->second->credentials) == *settings.credentials) {
      ++it;
    } else {
      tasks_.end(it->first);
      it = settings_.erase(it);
    }
  }
  std::size_t number = 0;
  for (const auto& device : config.devices)
    if (!settings_.contains(device.name)) start({device, credentials.of(device.credentials)}, config, number++);
}

void Pollers::start(Settings with, const config::Config& config, std::size_t number) {
  const auto settings = std::make_shared<const Settings>(std::move(with));
  const auto& device = settings->device;
  auto take = [this, settings](const model::DeviceReading& reading) {
    return interval_of(settings->device, on_reading_(reading));
  };
  auto probe = make_probe_(device, settings->credentials, config);
  tasks_.start(device.name, std::make_unique<ProbedSubject<model::DeviceReading>>(std::move(probe), answered, take),
               device.poll_interval, number);
  settings_.emplace(device.name, settings);
}

void Pollers::stop() {
  tasks_.stop();
  settings_.clear();
}

}  // namespace frisket::service
