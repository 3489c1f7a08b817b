#include "daemon/service/upkeep_setup.h"

#include <algorithm>
#include <catch2/catch.hpp>

namespace {

using namespace frisket;
using namespace frisket::service;
using model::MarkTech;
using upkeep::Marking;

model::DeviceSnapshot marking_with(MarkTech tech, model::SupplyType supply) {
  model::DeviceSnapshot snapshot;
  model::Marker marker;
  marker.index = 1;
  marker.mark_tech = tech;
  snapshot.markers = {marker};
  model::Supply used;
  used.index = 1;
  used.type = supply;
  snapshot.supplies = {used};
  return snapshot;
}

}  // namespace

// RFC 3805 PrtMarkerMarkTechTC.
TEST_CASE("a device is serviced by the way its marker works, and by what it uses up where that is not told") {
  using model::SupplyType;
  CHECK(marking_of(marking_with(MarkTech::electrophotographic_laser, SupplyType::ink)) == Marking::toner);
  CHECK(marking_of(marking_with(MarkTech::electrophotographic_led, SupplyType::toner)) == Marking::toner);
  CHECK(marking_of(marking_with(MarkTech::inkjet_aqueous, SupplyType::other)) == Marking::ink);
  CHECK(marking_of(marking_with(MarkTech::inkjet_solid, SupplyType::other)) == Marking::ink);
  CHECK(marking_of(marking_with(MarkTech::thermal_transfer, SupplyType::other)) == Marking::thermal);
  CHECK(marking_of(marking_with(MarkTech::thermal_other, SupplyType::other)) == Marking::thermal);
  CHECK(marking_of(marking_with(MarkTech::impact_band, SupplyType::other)) == Marking::other);
  CHECK(marking_of(marking_with(MarkTech::pen, SupplyType::ink)) == Marking::other);
  CHECK(marking_of(marking_with(MarkTech::unknown, SupplyType::ink_cartridge)) == Marking::ink);
  CHECK(marking_of(marking_with(MarkTech::other, SupplyType::toner)) == Marking::toner);
  CHECK(marking_of({}) == Marking::toner);
}

TEST_CASE("a configured task of a built-in name takes its place and its cautions, for the devices it is for") {
  config::Device moss;
  moss.name = "moss";
  config::Device fern;
  fern.name = "fern";
  config::Task dust;
  dust.name = "dust";
  dust.title = "Dust the ferns off";
  dust.every_days = 7;
  dust.devices = {"fern"};
  config::Task spores = dust;
  spores.name = "spores";
  spores.devices = {};
  spores.models = {"QX-900"};
  config::Config config;
  config.tasks = {dust, spores};

  const auto of = [&](const config::Device& device, const std::string& model) {
    return tasks_for(config, device, model, Marking::toner);
  };
  const auto task = [](const auto& tasks, std::string_view key) {
    const auto found = std::ranges::find(tasks, key, &upkeep::ServiceTask::key);
    return found == tasks.end() ? nullptr : &*found;
  };
  const auto built_in = upkeep::default_tasks(Marking::toner);
  const auto plain = of(moss, "");
  CHECK(plain.size() == built_in.size());
  CHECK(task(plain, "dust")->title == task(built_in, "dust")->title);

  const auto changed = of(fern, "QX-900");
  CHECK(changed.size() == built_in.size() + 1);
  REQUIRE(task(changed, "dust") != nullptr);
  CHECK(task(changed, "dust")->title == "Dust the ferns off");
  CHECK(task(changed, "dust")->every_days == 7);
  CHECK_FALSE(task(changed, "dust")->every_impressions);
  CHECK(task(changed, "dust")->cautions == task(built_in, "dust")->cautions);
  CHECK(task(changed, "dust")->steps == task(built_in, "dust")->steps);
  CHECK(task(changed, "spores") != nullptr);
  CHECK(task(of(moss, "QX-900"), "spores") != nullptr);
  CHECK(task(of(moss, "QX-901"), "spores") == nullptr);
}

TEST_CASE("a device is known to the outlook as it was last read, and by its name alone until then") {
  config::Config config;
  config.devices.resize(2);
  config.devices[0].name = "herbarium-copier";
  config.devices[1].name = "palm-printer";
  model::DeviceSnapshot snapshot;
  snapshot.device_ids = {{1, "MFG:Quillon;MDL:LX 4100;", 0}};
  snapshot.general.serial_number = "QX-77";
  const auto setup = outlook_setup(
      config, [&](const std::string& name) { return name == "herbarium-copier" ? &snapshot : nullptr; }, {}, {});
  REQUIRE(setup->devices.size() == 2);
  CHECK(setup->devices[0].identity == model::Identity{"Quillon", "LX 4100", "QX-77", ""});
  CHECK(setup->devices[1].identity == model::Identity{});
}
