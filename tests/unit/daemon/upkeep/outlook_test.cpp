#include "daemon/upkeep/outlook.h"

#include <cmath>

#include "moments.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using frisket::model::Amount;
using moments::at;
using moments::calendar;

namespace {

using Changes = frisket::upkeep::Changes;

const WallTime kBegin = at("2026-01-05T00:00:00Z");

SupplyStated toner(std::int32_t index, const std::string& description = "Black toner QX-701A") {
  return {index, frisket::model::SupplyClass::supply_that_is_consumed, frisket::model::SupplyType::toner, "black",
          description};
}

// Ten impressions an hour, 240 a day, from `from` on; a cartridge lasts 6000, so 25 days.
Changes copier(int days, int from = 0) {
  Changes changes{{kBegin + 24h * from, toner(1)}};
  int said = -1;
  for (int hour = 24 * from; hour < 24 * days; ++hour) {
    const auto now = kBegin + 1h * hour;
    changes.push_back({now, CountChange{static_cast<std::uint32_t>(5000 + 10 * hour), false}});
    const int level = static_cast<int>(std::ceil(100 - std::fmod(10.0 * hour / 60, 100.0)));
    if (hour % (24 * 28) == 0) changes.push_back({now, toner(1)});
    if (level != said) changes.push_back({now, LevelChange{1, Amount{level}, Amount{100}}});
    said = level;
  }
  return changes;
}

struct Fleet {
  std::map<std::string, Changes> histories;
  OutlookSetup setup;
  WallTime now = kBegin + 24h * 60;
  std::vector<std::string> asked;

  Fleet() { setup.calendars.emplace("glasshouse", calendar("UTC")); }
  void add(const std::string& name, Changes changes) {
    histories[name] = std::move(changes);
    setup.devices.push_back({name, "glasshouse", {"Quillon", "", "", ""}, {}, {}});
  }
  HistoryOf source() {
    return [this](const std::string& device) {
      asked.push_back(device);
      return histories[device];
    };
  }
  Outlook ahead() { return look_ahead(setup, source(), now); }
};

const OrderLine* line(const Outlook& outlook, const std::string& part) {
  for (const auto& entry : outlook.order)
    if (entry.part.number == part) return &entry;
  return nullptr;
}

}  // namespace

TEST_CASE("a device's outlook is its forecast, its months and what it prints a day") {
  Fleet fleet;
  fleet.add("herbarium-copier", copier(60));
  const Outlook outlook = fleet.ahead();
  CHECK(outlook.made_at == fleet.now);
  const auto& device = *outlook.devices.at("herbarium-copier");
  REQUIRE(device.supply(1) != nullptr);
  CHECK(device.supply(2) == nullptr);
  const auto& toner = *device.supply(1);
  CHECK(toner.part == "QX-701A");
  REQUIRE(toner.forecast.p50);
  CHECK(days_between(fleet.now, *toner.forecast.p50) == Approx(15).margin(1.2));  // ten days into the third cartridge
  REQUIRE(toner.whole_lasts);
  CHECK(*toner.whole_lasts == Approx(25).epsilon(0.05));
  REQUIRE(device.a_day);
  CHECK(*device.a_day == Approx(240).epsilon(0.02));
  REQUIRE(device.months.size() == 3);
  CHECK(device.months[1].impressions == 28 * 240);
  CHECK(device.counts);
}

TEST_CASE("impressions in colour have months of their own, from when the device told them") {
  Fleet fleet;
  auto changes = copier(60);
  for (auto& change : changes)
    if (auto* count = std::get_if<CountChange>(&change.what); count != nullptr && change.at >= kBegin + 24h * 20)
      count->colour = 100 + count->count / 5;
  fleet.add("herbarium-copier", std::move(changes));
  fleet.add("fern-printer", copier(60));
  const Outlook outlook = fleet.ahead();
  const auto& months = outlook.devices.at("herbarium-copier")->colour_months;
  REQUIRE(months.size() == 3);  // from 25 January
  CHECK(months[0].impressions == Approx(7 * 48).margin(2));
  CHECK(months[0].flags == std::vector{MeterFlag::incomplete});
  CHECK(months[1].impressions == 28 * 48);
  CHECK(months[1].flags.empty());
  CHECK(outlook.devices.at("fern-printer")->colour_months.empty());
}

TEST_CASE("a device that no longer tells what is in colour printed nobody knows how much in colour since") {
  Fleet fleet;
  const auto told_until = [](int days) {
    auto changes = copier(60);
    for (auto& change : changes)
      if (auto* count = std::get_if<CountChange>(&change.what); count != nullptr && change.at < kBegin + 24h * days)
        count->colour = 100 + count->count / 5;
    return changes;
  };
  auto on_and_off = told_until(60);
  for (auto& change : on_and_off)
    if (auto* count = std::get_if<CountChange>(&change.what);
        count != nullptr && change.at >= kBegin + 24h * 30 && change.at < kBegin + 24h * 32)
      count->colour.reset();
  fleet.add("herbarium-copier", told_until(40));  // until 14 February
  fleet.add("fern-printer", std::move(on_and_off));
  const Outlook outlook = fleet.ahead();
  const auto& months = outlook.devices.at("herbarium-copier")->colour_months;
  REQUIRE(months.size() == 2);
  CHECK(months[1].impressions == Approx(13 * 48).margin(2));
  CHECK(months[1].flags == std::vector{MeterFlag::incomplete});
  const auto& all = outlook.devices.at("fern-printer")->colour_months;  // 4 and 5 February were not told
  REQUIRE(all.size() == 3);
  CHECK(all[1].impressions == Approx(28 * 48).margin(2));
  CHECK(all[1].flags.empty());
}

TEST_CASE("before its first reading nobody looked at a device") {
  Fleet fleet;
  fleet.add("herbarium-copier", copier(60, 50));
  fleet.add("fern-printer", copier(60, -60));
  fleet.add("seed-bank-label-printer", {});
  const Outlook outlook = fleet.ahead();
  const Span whole{fleet.now - kLately, fleet.now};
  CHECK(outlook.devices.at("herbarium-copier")->unobserved == std::vector{Span{whole.from, kBegin + 24h * 50}});
  CHECK(outlook.devices.at("fern-printer")->unobserved.empty());
  CHECK(outlook.devices.at("seed-bank-label-printer")->unobserved == std::vector{whole});
}

TEST_CASE("a device without history is there and has no figures") {
  Fleet fleet;
  fleet.add("seed-bank-label-printer", {});
  const Outlook outlook = fleet.ahead();
  const auto& device = *outlook.devices.at("seed-bank-label-printer");
  CHECK(device.supplies.empty());
  CHECK(device.months.empty());
  CHECK_FALSE(device.a_day);
  CHECK_FALSE(device.counts);
  CHECK(outlook.order.empty());
}

TEST_CASE("until a device was read it has the serial number that was kept of it, then its own") {
  Fleet fleet;
  Changes changes = copier(20);
  changes.insert(changes.begin(), {kBegin, SerialStated{"FW-0400-77"}});
  fleet.add("a", changes);
  CHECK(fleet.ahead().devices.at("a")->identity.serial == "FW-0400-77");
  fleet.setup.devices[0].identity.serial = "FW-0400-78";
  CHECK(fleet.ahead().devices.at("a")->identity.serial == "FW-0400-78");
}

TEST_CASE("each history is asked for twice and no more") {
  Fleet fleet;
  fleet.add("a", copier(20));
  fleet.add("b", copier(20));
  fleet.ahead();
  CHECK(fleet.asked == std::vector<std::string>{"a", "b", "a", "b"});
}

TEST_CASE("a new device gets its date from what the part lasts in the others") {
  Fleet fleet;
  Changes young = copier(60, 48);  // twelve days, none of them with a level that falls
  std::erase_if(young, [](const Change& change) { return std::holds_alternative<LevelChange>(change.what); });
  young.insert(young.begin() + 1, {kBegin + 24h * 48, LevelChange{1, Amount{100}, Amount{100}}});
  fleet.add("young", young);
  CHECK(fleet.ahead().devices.at("young")->supply(1)->forecast.no_date == NoDate::little_history);
  for (const auto* name : {"a", "b", "c"}) fleet.add(name, copier(60));
  const auto forecast = fleet.ahead().devices.at("young")->supply(1)->forecast;
  CHECK_FALSE(forecast.no_date);
  CHECK(forecast.p50);
  CHECK(forecast.from_part);
}

TEST_CASE("a supply that has not been stated for five weeks is gone") {
  Fleet fleet;
  Changes changes = copier(60);
  changes.insert(changes.begin(), {{kBegin, toner(9, "Staples")}, {kBegin, LevelChange{9, Amount{50}, Amount{100}}}});
  fleet.add("a", changes);
  CHECK(fleet.ahead().devices.at("a")->supply(9) == nullptr);
  fleet.now = kBegin + 24h * 34;
  CHECK(fleet.ahead().devices.at("a")->supply(9) != nullptr);
}

TEST_CASE("the order list adds up what the devices take, and names them") {
  Fleet fleet;
  for (const auto* name : {"a", "b", "c"}) fleet.add(name, copier(60));
  const Outlook soon = [&] {
    fleet.now = kBegin + 24h * 72;  // three days are left; what is not heard since day 60 is known to stand still
    for (auto& [name, changes] : fleet.histories) changes = copier(72);
    return fleet.ahead();
  }();
  const auto* toner = line(soon, "QX-701A");
  REQUIRE(toner != nullptr);
  CHECK(toner->wanted == 3);
  CHECK(toner->part.maker == "Quillon");
  CHECK(toner->part.colorant == "black");
  CHECK(toner->devices.size() == 3);

  fleet.setup.stock["QX-701A"] = {2, 0};
  fleet.setup.stock["QX-999"] = {4, 0};
  fleet.setup.parts["QX-701A"] = {"QX-701A", "Quillon", "black cartridge", "black", {"Fernhill", 5, 7, 0.95}, 4, {}};
  fleet.setup.parts["QX-555"] = {"QX-555", "Quillon", "", "", {}, 1, {}};
  const Outlook stocked = fleet.ahead();
  CHECK(line(stocked, "QX-701A")->wanted == 4);  // one, in packs of four
  CHECK(line(stocked, "QX-701A")->part.supplier.name == "Fernhill");
  REQUIRE(line(stocked, "QX-999") != nullptr);  // on the shelf, and nobody uses it
  CHECK(line(stocked, "QX-999")->wanted == 0);
  CHECK(line(stocked, "QX-555") == nullptr);
}

TEST_CASE("one device looked at again leaves the others as they are") {
  Fleet fleet;
  for (const auto* name : {"a", "b"}) fleet.add(name, copier(72));
  fleet.now = kBegin + 24h * 72;
  const Outlook before = fleet.ahead();
  fleet.histories["a"].push_back({fleet.now, LevelChange{1, Amount{100}, Amount{100}}});
  const Outlook after = look_again(before, fleet.setup, "a", fleet.source(), fleet.now);
  CHECK(after.devices.at("b") == before.devices.at("b"));
  CHECK(*after.devices.at("a")->supply(1)->forecast.p50 - fleet.now > 20 * 24h);
  CHECK(line(before, "QX-701A")->wanted == 2);
  CHECK(line(after, "QX-701A")->wanted == 1);
  fleet.setup.devices.erase(fleet.setup.devices.begin());
  CHECK_FALSE(look_again(after, fleet.setup, "a", fleet.source(), fleet.now).devices.contains("a"));
}

TEST_CASE("a task counts from when it was done, over a reset of the counter") {
  Fleet fleet;
  Changes changes = copier(60);
  for (int hour = 0; hour < 24 * 30; ++hour)
    changes.push_back({kBegin + 24h * 60 + 1h * hour, CountChange{static_cast<std::uint32_t>(10 * hour), false}});
  fleet.add("a", changes);
  fleet.now = kBegin + 24h * 90;
  auto& device = fleet.setup.devices[0];
  device.tasks = std::make_shared<const std::vector<ServiceTask>>(
      std::vector<ServiceTask>{{"feed-rollers", "Clean the feed rollers", 25000, {}, "", {}, 10, {}, {}}});
  device.tasks_done = {{"feed-rollers", kBegin + 24h * 50, "robin", 17000, {}}};
  const auto tasks = fleet.ahead().devices.at("a")->tasks;
  REQUIRE(tasks.size() == 1);
  CHECK(tasks[0].share == Approx(40 * 240 / 25000.0).epsilon(0.01));
  REQUIRE(tasks[0].last);
  CHECK(tasks[0].last->shown == 17000U);
  REQUIRE(tasks[0].next);
  CHECK(days_between(fleet.now, *tasks[0].next) == Approx((25000 - 40 * 240) / 240.0).margin(2));
}
