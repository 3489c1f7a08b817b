#include "daemon/store/kept_history.h"

#include <limits>
#include <random>

#include "daemon/store/connection.h"
#include "daemon/store/sqlite_store.h"
#include "daemon/upkeep/weeks.h"
#include "fixtures.h"
#include "temporary_folder.h"

namespace frisket::store::testing {
namespace {

using model::Amount;
using namespace upkeep;

const auto kWeek = week_of(kMorning);

Changes of_every_kind() {
  const std::string hostile("\0\xF0\x9F\x8C\xB1 <b>'\"", 11);
  return {
      {kMorning - 24h * 4000, Lost{}},  // far outside the week
      {kMorning, SerialStated{hostile}},
      {kMorning, CountChange{std::numeric_limits<std::uint32_t>::max(), false}},
      {kMorning, CountChange{0, true}},
      {kMorning, CountChange{12, true, 0}},
      {kMorning, CountChange{15, false}},
      {kMorning, CountChange{20, false, std::numeric_limits<std::uint32_t>::max()}},
      {kMorning, SupplyStated{-7, model::SupplyClass::receptacle_that_is_filled, model::SupplyType(99), "", hostile}},
      {kMorning, LevelChange{-7, model::SomeLeft{}, model::Unknown{}}},
      {kMorning + 1s, LevelChange{1, Amount{std::numeric_limits<std::int32_t>::max()}, Amount{0}}},
      {kMorning + 2s, LevelChange{1, Amount{0}, Amount{0}}},
      {kMorning + 2s, LevelChange{1, model::Unknown{}, model::Unlimited{}}},
      {kMorning + 3s, LevelChange{1, model::Unlimited{}, Amount{30000}}},
      {kMorning + 24h * 4000, Heard{}}};
}

// A device of an office: counts from 8 to 18 o'clock, four supplies.
Changes office_week(std::mt19937& random) {
  const auto first = start_of_week(kWeek);
  std::uint32_t count = 120345;
  Changes changes;
  for (int quarter = 0; quarter < 40 * 5; ++quarter) {
    if (random() % 10 < 3) continue;  // three quarters of an hour in ten pass without a page
    const auto at = first + 24h * (quarter / 40) + 8h + 15min * (quarter % 40) + std::chrono::seconds(random() % 900);
    count += 1 + static_cast<std::uint32_t>(random() % 40);
    changes.push_back({at, CountChange{count, random() % 2 == 0}});
    if (random() % 8 == 0)
      changes.push_back({at, LevelChange{static_cast<std::int32_t>(1 + random() % 4),
                                         Amount{static_cast<std::int32_t>(80 - quarter / 10)}, Amount{100}}});
  }
  return changes;
}

TEST_CASE("every kind of change comes back as it was") {
  const auto changes = of_every_kind();
  CHECK(must(changes_from(kept_octets(changes, kWeek), kWeek)) == changes);
  CHECK(must(changes_from(kept_octets({}, kWeek), kWeek)).empty());
}

// docs/store.md: a later version reads what an earlier one kept.
TEST_CASE("what was kept before there were counts in colour is still read") {
  auto changes = of_every_kind();
  std::erase_if(changes, [](const Change& change) {
    const auto* count = std::get_if<CountChange>(&change.what);
    return count != nullptr && count->colour;
  });
  auto octets = kept_octets(changes, kWeek);
  CHECK(octets[0] == 2);
  octets[0] = 1;
  CHECK(must(changes_from(octets, kWeek)) == changes);
  for (const char format : {'\0', '\3'}) {
    octets[0] = format;
    CHECK_FALSE(changes_from(octets, kWeek));
  }
}

TEST_CASE("milliseconds are not kept") {
  CHECK(must(changes_from(kept_octets({{kMorning + 999ms, Lost{}}}, kWeek), kWeek)) == Changes{{kMorning, Lost{}}});
}

TEST_CASE("octets that were cut short are refused, unless at the end of a change") {
  const auto octets = kept_octets(of_every_kind(), kWeek);
  std::size_t refused = 0;
  for (std::size_t length = 0; length < octets.size(); ++length)
    refused += changes_from(octets.substr(0, length), kWeek) ? 0 : 1;
  CHECK(refused == octets.size() - of_every_kind().size());
}

TEST_CASE("octets of any kind are refused or understood, and never end the program") {
  std::mt19937 random(6);
  std::size_t refused = 0;
  for (int i = 0; i < 20000; ++i) {
    auto octets = kept_octets(of_every_kind(), kWeek);
    for (int flip = 0; flip < 3; ++flip) octets[1 + random() % (octets.size() - 1)] = static_cast<char>(random());
    refused += changes_from(octets, kWeek) ? 0 : 1;
  }
  CHECK(refused > 1000);
}

TEST_CASE("an unreadable week is told of, the others are read, and it begins anew when written to") {
  TemporaryFolder folder;
  const auto file = folder.path() / kStoreFile;
  auto opened = must(open_sqlite(file, kMorning));
  Batch batch;
  batch.history = {{"a", {{kMorning, CountChange{1, false}}, {kMorning + 24h * 7, CountChange{2, false}}}}};
  must(opened.store->write(batch));
  open_file(file)->exec("UPDATE history SET body = x'0142' WHERE week = " + std::to_string(kWeek));
  CHECK(must(opened.store->history("a", WallTime{})) == Changes{{kMorning + 24h * 7, CountChange{2, false}}});
  const auto findings = opened.store->take_findings();
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].find("a week of the history of a was left out") == 0);
  must(opened.store->forget({}, kMorning + 24h * 100));  // thinning meets it too
  batch.history = {{"a", {{kMorning + 1h, CountChange{3, false}}}}};
  must(opened.store->write(batch));
  CHECK(must(opened.store->history("a", WallTime{})).size() == 2);
}

// Two years of 10,000 devices in less than 2 GiB are 206 KiB for each device. Measured in a real file: 50 devices over
// 20 weeks, of which 11 are thinned, scaled up.
TEST_CASE("a device's week takes so little room that 10,000 devices and two years fit into 2 GiB") {
  TemporaryFolder folder;
  const auto file = folder.path() / kStoreFile;
  auto opened = must(open_sqlite(file, kMorning));
  std::mt19937 random(7);
  const auto template_week = office_week(random);
  constexpr int kDevices = 50;
  constexpr int kWeeks = 20;
  for (int week = 0; week < kWeeks; ++week) {
    Batch batch;
    for (int device = 0; device < kDevices; ++device) {
      auto changes = template_week;
      for (auto& change : changes) change.at += 24h * 7 * week;
      batch.history.push_back({"device-" + std::to_string(device), std::move(changes)});
    }
    must(opened.store->write(batch));
  }
  const auto now = start_of_week(kWeek + kWeeks);
  for (int hour = 0; hour < 3; ++hour) must(opened.store->forget({}, now));
  opened.store.reset();
  const auto database = open_file(file);
  CHECK(database->execAndGet("SELECT count(*) FROM history WHERE thinned = 0").getInt() == 9 * kDevices);
  const auto octets = [&](const std::string& which) {
    return database->execAndGet("SELECT avg(length(body)) FROM history WHERE thinned = " + which).getDouble();
  };
  const double row = 40;  // the row's header, its entry in the index, and pages that are not full: measured below
  const double two_years = 9 * (octets("0") + row) + 95 * (octets("1") + row);
  INFO("a week: " << octets("0") << " octets, thinned: " << octets("1") << ", two years of a device: " << two_years);
  CHECK(two_years * 10'000 < 2.0 * 1024 * 1024 * 1024 / 2);  // and room to spare for devices that are busier
  database->exec("VACUUM");
  const double whole =
      database->execAndGet("SELECT page_count * page_size FROM pragma_page_count, pragma_page_size").getDouble();
  CHECK(whole < kDevices * (9 * (octets("0") + row) + 11 * (octets("1") + row)) * 1.3 + 400'000);
}

}  // namespace
}  // namespace frisket::store::testing
