// simpast: writes an invented past into a store, for devices as GET /v1/devices lists them on standard input.
//
//   simpast STORE [--days 730] [--seed 1]
//
// The daemon must not run meanwhile. Exits with 1 and a line on standard error where it cannot be done.
#include <algorithm>
#include <cstdlib>
#include <initializer_list>
#include <iostream>
#include <iterator>
#include <nlohmann/json.hpp>

#include "daemon/incidents/incident_id.h"
#include "daemon/store/sqlite_store.h"
#include "daemon/upkeep/supply_kinds.h"
#include "tests/past/past.h"

namespace {

using namespace frisket;
using nlohmann::json;

// A supply as the API has it; nothing where its level is no number.
std::optional<past::Supply> supply_of(const json& told) {
  if (told.at("percent").is_null() || told.at("capacity").is_null()) return std::nullopt;
  past::Supply supply;
  auto& stated = supply.stated;
  stated.supply = told.at("index");
  stated.supply_class = told.at("class") == "filled" ? model::SupplyClass::receptacle_that_is_filled
                                                     : model::SupplyClass::supply_that_is_consumed;
  for (const auto& each : model::listed<model::SupplyType>())
    if (model::label(static_cast<model::SupplyType>(each.value)) == told.at("type"))
      stated.type = static_cast<model::SupplyType>(each.value);
  stated.colorant = told.at("colorant").is_null() ? "" : told.at("colorant").get<std::string>();
  stated.description = told.at("description");
  supply.percent = told.at("percent");
  supply.capacity = told.at("capacity");
  return supply;
}

// Life parts last longer than toner, and so do containers.
double lasts(const past::Supply& supply, double a_day, std::mt19937_64& random) {
  using enum model::SupplyType;
  const bool consumed = upkeep::is_one_of(supply.stated.type, {toner, ink, toner_cartridge, ink_cartridge});
  std::uniform_real_distribution<double> days(consumed ? 25 : 150, consumed ? 60 : 400);
  return std::max(500.0, a_day * days(random));
}

past::Device device_of(const json& told, int days, std::mt19937_64& random) {
  past::Device device;
  device.name = told.at("name");
  device.site = told.at("site");
  device.serial = told.at("serial");
  device.impressions = told.at("impressions").is_null() ? 0 : told.at("impressions").get<std::uint32_t>();
  std::lognormal_distribution<double> busy(std::log(180.0), 0.6);
  // No busier than the counter allows: five working days a week, and something left from before.
  device.a_day = std::min(busy(random), device.impressions * 0.9 / (days * 5.0 / 7));
  std::bernoulli_distribution bad(0.1);
  if (bad(random)) device.jams_per_sheet *= 6;
  for (const auto& each : told.at("inputs")) device.jam_places.push_back(each.at("name"));
  for (const auto& each : told.at("supplies")) {
    auto supply = supply_of(each);
    if (!supply) continue;
    supply->lasts = lasts(*supply, device.a_day, random);
    device.supplies.push_back(std::move(*supply));
  }
  return device;
}

// From what it uses up: what is told of a device does not say how it marks.
upkeep::Marking marking_of(const past::Device& device) {
  using model::SupplyType;
  const auto uses = [&](std::initializer_list<SupplyType> types) {
    return std::ranges::any_of(
        device.supplies, [&](const past::Supply& supply) { return upkeep::is_one_of(supply.stated.type, types); });
  };
  if (uses({SupplyType::toner, SupplyType::toner_cartridge, SupplyType::opc})) return upkeep::Marking::toner;
  if (uses({SupplyType::ink, SupplyType::ink_cartridge})) return upkeep::Marking::ink;
  return upkeep::Marking::thermal;
}

int write(const std::string& file, int days, std::uint64_t seed) {
  const auto now = std::chrono::floor<model::Milliseconds>(std::chrono::system_clock::now());
  const auto told = json::parse(std::cin);
  auto opened = store::open_sqlite(file, now);
  if (!opened) {
    std::cerr << "simpast: " << opened.error().text() << '\n';
    return EXIT_FAILURE;
  }
  store::Batch batch;
  std::vector<incidents::Incident> jams;
  for (const auto& each : told.at("items")) {
    std::mt19937_64 random(++seed);  // of one device: the hour of the day must not move the others
    const auto device = device_of(each, days, random);
    if (device.impressions == 0) continue;
    auto made = past::past_of(device, now, days, random);
    batch.history.push_back({device.name, std::move(made.changes)});
    jams.insert(jams.end(), made.jams.begin(), made.jams.end());
    const auto services = past::services_of(device, marking_of(device), now, days, random);
    batch.done.insert(batch.done.end(), services.begin(), services.end());
  }
  std::ranges::stable_sort(jams, {}, &incidents::Incident::raised_at);
  std::ranges::stable_sort(batch.done, {}, &upkeep::ServiceDone::at);
  incidents::IncidentIds ids;
  for (auto& jam : jams) {
    jam.id = ids.next(jam.raised_at);
    batch.transitions.push_back({incidents::What::raised, jam.raised_at, jam});
    batch.transitions.push_back({incidents::What::cleared, *jam.cleared_at, jam});
  }
  batch.last_id = ids.last();
  batch.watched_until = now;
  if (const auto written = opened->store->write(batch); !written) {
    std::cerr << "simpast: " << written.error().text() << '\n';
    return EXIT_FAILURE;
  }
  std::cout << "simpast: " << batch.history.size() << " devices, " << jams.size() << " jams, " << days << " days\n";
  return EXIT_SUCCESS;
}

}  // namespace

int main(int count, char** arguments) {
  const std::vector<std::string> words(arguments + 1, arguments + count);
  if (words.empty() || words.size() % 2 == 0) {
    std::cerr << "usage: simpast STORE [--days 730] [--seed 1] < DEVICES.json\n";
    return 2;
  }
  int days = 730;
  std::uint64_t seed = 1;
  try {
    for (std::size_t i = 1; i < words.size(); i += 2) {
      if (words[i] == "--days") days = std::stoi(words[i + 1]);
      if (words[i] == "--seed") seed = std::stoull(words[i + 1]);
    }
    return write(words[0], days, seed);
  } catch (const std::exception& wrong) {
    std::cerr << "simpast: " << wrong.what() << '\n';
    return EXIT_FAILURE;
  }
}
