#include "config/config.h"

#include <algorithm>

namespace frisket::config {
namespace {

template <class Row>
const Row* find_by_name(const std::vector<Row>& rows, const std::string& name) {
  const auto found = std::ranges::find(rows, name, &Row::name);
  return found == rows.end() ? nullptr : &*found;
}

}  // namespace

const Site* Config::find_site(const std::string& name) const { return find_by_name(sites, name); }
const Credential* Config::find_credential(const std::string& name) const { return find_by_name(credentials, name); }
const Device* Config::find_device(const std::string& name) const { return find_by_name(devices, name); }

std::unordered_map<std::string_view, const Device*> Config::devices_by_name() const {
  std::unordered_map<std::string_view, const Device*> found;
  for (const auto& device : devices) found.emplace(device.name, &device);
  return found;
}

const Queue* Config::find_queue(const std::string& name) const { return find_by_name(queues, name); }
const Spooler* Config::find_spooler(const std::string& name) const { return find_by_name(spoolers, name); }

std::string why_read_only(const Queue& queue) {
  return queue.lpd ? "it is known by LPD only, which is read and never changed" : "";
}

const Spooler* spooler_of(const Queue& queue, const std::vector<Spooler>& spoolers) {
  if (queue.lpd) return nullptr;
  const auto found = std::ranges::find_if(spoolers, [&](const Spooler& spooler) {
    const auto& here = queue.target;
    const auto& there = spooler.target;
    return here.host == there.host && here.port == there.port && here.tls == there.tls;
  });
  return found == spoolers.end() ? nullptr : &*found;
}

}  // namespace frisket::config
