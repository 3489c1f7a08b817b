#include "daemon/incidents/queue_ties.h"

#include <algorithm>
#include <set>

#include "probes/model/ascii.h"
#include "probes/model/identity.h"
#include "probes/model/ipp_target.h"

namespace frisket::incidents {
namespace {

std::string endpoint_key(const model::IppTarget& target) {
  return host_key(target.host) + "|" + std::to_string(target.port);
}

std::string service_key(const model::IppTarget& target) { return endpoint_key(target) + "|" + target.path; }

}  // namespace

std::string host_key(std::string_view host) {
  auto key = model::in_lower_case(host);
  if (key == "localhost" || key == "::1") return "127.0.0.1";
  return key;
}

void QueueTies::configure(const std::vector<config::Device>& devices) {
  by_service_.clear();
  by_address_.clear();
  has_service_.clear();
  std::set<std::string> names;
  for (const auto& device : devices) {
    names.insert(device.name);
    by_address_[host_key(device.address)].push_back(device.name);
    if (!device.ipp) continue;
    by_service_[service_key(*device.ipp)].push_back(device.name);
    has_service_[device.name] = endpoint_key(*device.ipp);
  }
  std::erase_if(serials_, [&](const auto& entry) { return !names.contains(entry.first); });
}

void QueueTies::learn_serial(const std::string& device, const std::string& serial) {
  if (serial.empty())
    serials_.erase(device);
  else
    serials_[device] = serial;
}

std::string QueueTies::device_of(const config::Queue& queue, const model::QueueSnapshot& snapshot) const {
  if (!queue.device.empty()) return queue.device;
  const auto only = [](const std::map<std::string, std::vector<std::string>>& map, const std::string& key) {
    const auto found = map.find(key);
    return found != map.end() && found->second.size() == 1 ? found->second.front() : std::string();
  };
  // A queue that is a printer's own.
  if (auto device = only(by_service_, service_key(queue.target)); !device.empty()) return device;
  const auto target = model::ipp_target_of(snapshot.device_uri);
  if (target)
    if (auto device = only(by_service_, service_key(*target)); !device.empty()) return device;
  if (const auto host = model::host_of(snapshot.device_uri); !host.empty()) {
    auto device = only(by_address_, host_key(host));
    // The same address, and another print service than the device's own: another device.
    const auto service = has_service_.find(device);
    const bool other = target && service != has_service_.end() && service->second != endpoint_key(*target);
    if (!device.empty() && !other) return device;
  }
  const auto serial = model::parse_device_id(snapshot.device_id).serial;
  if (serial.empty()) return {};
  std::string device;
  for (const auto& [name, known] : serials_) {
    if (known != serial) continue;
    if (!device.empty()) return {};
    device = name;
  }
  return device;
}

}  // namespace frisket::incidents
