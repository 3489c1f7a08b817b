// [[device]].
#include <algorithm>

#include "config/ipp_keys.h"
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

Seconds seconds_of(Section& section, std::string_view key, Seconds otherwise) {
  return section.has(key) ? std::chrono::duration_cast<Seconds>(section.duration(key)) : otherwise;
}

void read_intervals(Section& section, Device& device) {
  using namespace std::chrono_literals;
  const auto usual = std::chrono::duration_cast<Seconds>(section.duration("poll_interval"));
  device.poll_interval = usual;
  device.attention_interval = seconds_of(section, "attention_interval", std::min(usual, std::max(usual / 3, 10s)));
  device.silent_interval = seconds_of(section, "silent_interval", std::max(usual, std::min(usual * 4, Seconds(5min))));
  const auto shown = in_quotes(duration_text(usual));
  if (device.attention_interval > usual)
    section.refuse("attention_interval", in_quotes(duration_text(device.attention_interval)),
                   "at most poll_interval, which is " + shown);
  if (device.silent_interval < usual)
    section.refuse("silent_interval", in_quotes(duration_text(device.silent_interval)),
                   "at least poll_interval, which is " + shown);
}

}  // namespace

std::vector<Device> read_devices(Reading& reading) {
  std::vector<Device> devices;
  Addresses addresses;
  for (const auto* table : repeated(reading, "device")) {
    Section section(*table, "device", reading.findings);
    Device device;
    device.name = section.text("name");
    reading.devices.add(section, device.name);
    device.address = section.text("address");
    device.port = static_cast<std::uint16_t>(section.integer("port"));
    device.site = section.text("site");
    if (!device.site.empty()) reading.sites.check("device.site", device.site, section.place("site"), reading.findings);
    device.location = section.text("location");
    for (auto& [name, place] : section.list("credentials"))
      if (reading.credentials.check("device.credentials", name, place, reading.findings))
        device.credentials.push_back(std::move(name));
    device.ipp = ipp_target_from(section, "ipp");
    if (device.ipp)
      read_certificate(section, *device.ipp);
    else if (section.has("certificate"))
      section.error("certificate", "of no use without ipp");
    if (section.has("raw_port")) device.raw_port = static_cast<std::uint16_t>(section.integer("raw_port"));
    if (!section.has("credentials") && !section.has("ipp"))
      section.error("credentials", "missing, allowed: a list of 1 to 16 names, unless there is ipp");
    // Several print services may share an address that SNMP is not asked at.
    if (section.has("credentials") || !section.has("ipp")) check_address(addresses, section, device);
    read_intervals(section, device);
    device.out_of_service = section.text("out_of_service");
    devices.push_back(std::move(device));
  }
  return devices;
}

}  // namespace frisket::config
