// [[device]].
#include "config/sections.h"

namespace frisket::config {
namespace {

struct Taken {
  std::string name;
  Place place;
};

using Addresses = std::unordered_map<std::string, Taken>;

// Two names for one agent would be polled, counted and told twice.
void check_address(Addresses& taken, Section& section, const Device& device) {
  const auto address = parse_address(device.address);
  if (!address) return;
  const auto endpoint = address->normal + " port " + std::to_string(device.port);
  const auto [entry, fresh] = taken.try_emplace(endpoint, Taken{device.name, section.place("address")});
  if (fresh) return;
  section.refuse("address", in_quotes(device.address) + " with port " + std::to_string(device.port),
                 "an address and port of its own; " + in_quotes(entry->second.name) + " in line " +
                     std::to_string(entry->second.place.line) + " has them already");
}

}  // namespace

std::vector<Device> read_devices(Reading& reading) {
  std::vector<Device> devices;
  Names names("device");
  Addresses addresses;
  for (const auto* table : repeated(reading, "device")) {
    Section section(*table, "device", reading.findings);
    Device device;
    device.name = section.text("name");
    names.add(section, device.name);
    device.address = section.text("address");
    device.port = static_cast<std::uint16_t>(section.integer("port"));
    check_address(addresses, section, device);
    device.site = section.text("site");
    if (!device.site.empty()) reading.sites.check("device.site", device.site, section.place("site"), reading.findings);
    device.location = section.text("location");
    for (auto& [name, place] : section.list("credentials"))
      if (reading.credentials.check("device.credentials", name, place, reading.findings))
        device.credentials.push_back(std::move(name));
    device.poll_interval = std::chrono::duration_cast<Seconds>(section.duration("poll_interval"));
    devices.push_back(std::move(device));
  }
  return devices;
}

}  // namespace frisket::config
