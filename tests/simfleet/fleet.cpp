#include "tests/simfleet/fleet.h"

#include <arpa/inet.h>

#include <algorithm>
#include <cstdio>
#include <random>

#include "tests/simfleet/toml_reader.h"

namespace frisket::simfleet {
namespace {

Event event_or_fail(const toml::node& where, const std::string& line, const Model& model) {
  auto parsed = parse_event(line, model);
  if (const auto* wrong = std::get_if<std::string>(&parsed)) fail(where, *wrong);
  return std::get<Event>(std::move(parsed));
}

std::int64_t duration_or_fail(TableReader& reader, std::string_view key, const std::string& otherwise) {
  const auto value = parse_milliseconds(reader.text(key, otherwise));
  if (!value) {
    const auto* found = reader.node(key);
    fail(found != nullptr ? *found : static_cast<const toml::node&>(reader.whole()),
         std::string(key) + ": allowed: a duration such as \"10m\"");
  }
  return *value;
}

// { at = "+30s", do = "jam input:2" }
std::vector<Timed> read_time_line(TableReader& reader, const Model& model) {
  std::vector<Timed> time_line;
  for (const auto* table : reader.tables("time_line")) {
    TableReader r(*table);
    auto at = r.text("at");
    if (at.starts_with('+')) at.erase(0, 1);
    const auto ms = parse_milliseconds(at);
    if (!ms) fail(*table, "at: allowed: a duration such as \"+30s\"");
    time_line.push_back({SimTime(*ms), event_or_fail(*table, r.text("do"), model)});
    r.finish();
  }
  return time_line;
}

std::unique_ptr<Device> read_device(TableReader& r, const std::shared_ptr<const Model>& model,
                                    const std::string& community) {
  Identity identity;
  identity.name = r.text("name");
  const auto address = parse_loopback(r.text("address"));
  if (!address) fail(*r.node("address"), "address: allowed: an address in 127.0.0.0/8");
  identity.address = *address;
  identity.site = r.text("site");
  identity.location = r.text("location", "");
  identity.serial = r.text("serial", "");
  identity.community = r.text("community", community);
  Start start;
  start.pages = static_cast<std::uint32_t>(r.integer("pages", 0, 0, 4294967295));
  start.up_ms = duration_or_fail(r, "up", "1h");
  start.rate = r.number("rate", 0.0, 0.0, 100000.0);
  if (r.has("tended_after")) start.tended_ms = duration_or_fail(r, "tended_after", "2m");
  const auto repeat = duration_or_fail(r, "repeat", "0s");
  auto time_line = read_time_line(r, *model);
  if (repeat > 0 && !time_line.empty()) {
    const auto last = std::max_element(time_line.begin(), time_line.end(),
                                       [](const Timed& a, const Timed& b) { return a.at < b.at; });
    if (last->at.count() > repeat) fail(*r.node("repeat"), "repeat: allowed: at least the last event's time");
  }
  std::vector<Event> at_start;
  for (const auto& line : r.texts("start")) at_start.push_back(event_or_fail(*r.node("start"), line, *model));
  r.finish();
  auto device = std::make_unique<Device>(std::move(identity), model, start, std::move(time_line), SimTime(repeat));
  for (const auto& event : at_start) device->apply(event, SimTime{0});
  return device;
}

}  // namespace

void Fleet::add(std::unique_ptr<Device> device) {
  by_address[device->identity().address] = device.get();
  by_name[device->identity().name] = device.get();
  devices.push_back(std::move(device));
}

void Fleet::advance_to(SimTime now) {
  for (const auto& device : devices) device->advance_to(now);
}

std::optional<std::uint32_t> parse_loopback(const std::string& text) {
  in_addr address{};
  if (inet_pton(AF_INET, text.c_str(), &address) != 1) return std::nullopt;
  const std::uint32_t value = ntohl(address.s_addr);
  if (value >> 24 != 127) return std::nullopt;
  return value;
}

std::string address_text(std::uint32_t address) {
  const in_addr raw{htonl(address)};
  char text[INET_ADDRSTRLEN] = "";
  inet_ntop(AF_INET, &raw, text, sizeof text);
  return text;
}

Fleet load_fleet(const std::filesystem::path& file, const std::filesystem::path& models) {
  const auto table = parse_file(file);
  TableReader top(table);
  Fleet fleet;
  fleet.community = top.text("community", "public");
  for (const auto* site : top.tables("site")) {
    TableReader r(*site);
    fleet.sites.push_back({r.text("name"), r.text("time_zone", "UTC")});
    r.finish();
  }
  std::map<std::string, std::shared_ptr<const Model>> loaded;
  for (const auto* entry : top.tables("device")) {
    TableReader r(*entry);
    const auto key = r.text("model");
    auto& model = loaded[key];
    if (!model) {
      if (!std::filesystem::exists(models / (key + ".toml")))
        fail(*r.node("model"), "model: there is no " + key + ".toml among the models");
      model = load_model(models / (key + ".toml"));
    }
    auto device = read_device(r, model, fleet.community);
    const auto& identity = device->identity();
    if (fleet.by_name.contains(identity.name)) fail(*entry, "a second device named \"" + identity.name + "\"");
    if (fleet.by_address.contains(identity.address))
      fail(*entry, "a second device at " + address_text(identity.address));
    const auto known = [&](const FleetSite& site) { return site.name == identity.site; };
    if (std::none_of(fleet.sites.begin(), fleet.sites.end(), known))
      fail(*entry, "site: no [[site]] named \"" + identity.site + "\"");
    fleet.add(std::move(device));
  }
  top.finish();
  if (fleet.devices.empty()) fail(table, "a fleet needs at least one [[device]]");
  return fleet;
}

Fleet make_fleet(const Bulk& bulk) {
  Fleet fleet;
  fleet.sites.push_back({"bench", "UTC"});
  std::vector<std::shared_ptr<const Model>> models;
  for (const auto& file : bulk.models) models.push_back(load_model(file));
  std::mt19937_64 random(bulk.seed);
  const auto share = [&] { return static_cast<double>(random() >> 11) * 0x1.0p-53; };
  const auto say = [&](Device& device, const std::string& line) {
    device.apply(std::get<Event>(parse_event(line, device.model())), SimTime{0});
  };
  std::uint32_t address = bulk.base;
  for (std::size_t i = 0; i < bulk.count; ++i, ++address) {
    while ((address & 0xFF) == 0 || (address & 0xFF) == 255) ++address;
    if (address >> 24 != 127) throw FileError("--count: does not fit between --base and 127.255.255.254");
    const auto& model = models[i % models.size()];
    char name[32] = "";
    std::snprintf(name, sizeof name, "sim-%05zu", i + 1);
    Start start;
    start.pages = static_cast<std::uint32_t>(share() * 300'000);
    start.up_ms = static_cast<std::int64_t>(60'000 + share() * 30.0 * 86'400'000);
    start.tended_ms = 120'000;
    start.rate = share() < bulk.busy ? 1 + share() * 5 : 0;
    const Identity identity{
        name,           address, "bench", "Rack " + std::to_string(i / 100 + 1), "SIM" + std::to_string(100000 + i),
        fleet.community};
    auto device = std::make_unique<Device>(identity, model, start, std::vector<Timed>{}, SimTime{0});
    for (std::size_t k = 1; k <= model->supplies.size(); ++k)
      say(*device, "level " + std::to_string(k) + " " + std::to_string(1 + random() % 100));
    for (std::size_t k = 1; k <= model->inputs.size(); ++k) {
      const auto most = static_cast<std::uint64_t>(model->inputs[k - 1].capacity);
      say(*device, "load " + std::to_string(k) + " " + std::to_string(1 + random() % most));
    }
    const double fate = share();
    if (fate < bulk.dead) {
      say(*device, "off");
    } else if (fate < bulk.dead + bulk.garbage) {
      say(*device, "fault garbage");
    }
    if (bulk.loss > 0) say(*device, "loss " + std::to_string(bulk.loss * 100));
    fleet.add(std::move(device));
  }
  return fleet;
}

}  // namespace frisket::simfleet
