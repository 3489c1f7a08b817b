// Many devices: from a fleet file (fleets/*.toml) or made in bulk.
//
// Built before serving; afterwards devices change only by time, by their time lines and by
// the control channel. One thread.
#pragma once

#include <cstdint>
#include <filesystem>
#include <map>
#include <memory>
#include <string>
#include <unordered_map>
#include <vector>

#include "tests/simfleet/device.h"

namespace frisket::simfleet {

struct FleetSite {
  std::string name;
  std::string time_zone;
};

struct Fleet {
  std::string community = "public";
  std::vector<FleetSite> sites;
  std::vector<std::unique_ptr<Device>> devices;
  std::unordered_map<std::uint32_t, Device*> by_address;
  std::map<std::string, Device*, std::less<>> by_name;

  void add(std::unique_ptr<Device> device);
  void advance_to(SimTime now);
};

// Throws FileError, for the fleet file and for the models it names (looked up in `models`).
Fleet load_fleet(const std::filesystem::path& file, const std::filesystem::path& models);

struct Bulk {
  std::size_t count = 0;
  std::uint32_t base = 0;                     // first address; the rest follow, last octets 0 and 255 left out
  std::vector<std::filesystem::path> models;  // taken in turn
  std::uint64_t seed = 1;
  double dead = 0;     // share of devices that never answer
  double garbage = 0;  // share of devices that answer with random octets
  double loss = 0;     // share of datagrams lost, each way, on every device
  double busy = 0.5;   // share of devices that print
};

Fleet make_fleet(const Bulk& bulk);

std::optional<std::uint32_t> parse_loopback(const std::string& text);  // 127.0.0.0/8, host byte order
std::string address_text(std::uint32_t address);

}  // namespace frisket::simfleet
