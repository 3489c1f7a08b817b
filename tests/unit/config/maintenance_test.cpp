// [[maintenance]], [rules] and [store]: what is accepted, and what is refused with which words.
#include <catch2/catch.hpp>

#include "config/syntax.h"
#include "fixture.h"

namespace frisket::config {
namespace {

using namespace std::chrono_literals;

const std::string kSite = "[[site]]\nname = \"glasshouse\"\n";

std::string first_error(const Loaded& loaded) {
  for (const auto& finding : loaded.findings)
    if (finding.gravity == Finding::Gravity::error) return finding.what;
  return {};
}

TEST_CASE("work of every week has days and two times of the day") {
  const Garden garden;
  const auto loaded = garden.load(kSite + R"([[maintenance]]
name = "sunday-power"
sites = ["glasshouse"]
days = ["sat", "sun"]
from = "22:00"
to = "06:30"
)");
  REQUIRE(first_error(loaded) == "");
  REQUIRE(loaded.config.maintenance.size() == 1);
  const auto& work = loaded.config.maintenance.front();
  CHECK(work.days == std::vector{std::chrono::Saturday, std::chrono::Sunday});
  CHECK(work.from == 22h);
  CHECK(work.to == 6h + 30min);
  CHECK_FALSE(work.start);
}

TEST_CASE("work that is done once has a start and an end") {
  const Garden garden;
  const auto loaded =
      garden.load("[[maintenance]]\nname = \"move\"\nstart = \"2026-12-24T18:00\"\nend = \"2026-12-27T08:00\"\n");
  REQUIRE(first_error(loaded) == "");
  const auto& work = loaded.config.maintenance.front();
  CHECK(work.start == std::chrono::local_days{std::chrono::year{2026} / 12 / 24} + 18h);
  CHECK(work.end == std::chrono::local_days{std::chrono::year{2026} / 12 / 27} + 8h);
}

TEST_CASE("planned work that cannot be is refused") {
  const Garden garden;
  const auto error = [&](const std::string& keys) {
    return first_error(garden.load(kSite + "[[maintenance]]\nname = \"work\"\n" + keys));
  };
  CHECK(error("from = \"24:00\"\nto = \"06:00\"\n").find("\"24:00\"") != std::string::npos);
  CHECK(error("from = \"22:00\"\n").find("maintenance.to") != std::string::npos);
  CHECK(error("days = [\"saturday\"]\nfrom = \"22:00\"\nto = \"23:00\"\n").find("\"saturday\"") != std::string::npos);
  CHECK(error("start = \"2026-02-30T08:00\"\nend = \"2026-03-01T08:00\"\n").find("2026-02-30") != std::string::npos);
  CHECK(error("start = \"2026-03-01T08:00\"\n").find("maintenance.end") != std::string::npos);
  CHECK(error("start = \"2026-03-01T08:00\"\nend = \"2026-03-01T08:00\"\n").find("later than start") !=
        std::string::npos);
  CHECK(error("sites = [\"palm-house\"]\nfrom = \"22:00\"\nto = \"23:00\"\n").find("palm-house") != std::string::npos);
  CHECK(error("devices = [\"nobody\"]\nfrom = \"22:00\"\nto = \"23:00\"\n").find("nobody") != std::string::npos);
}

TEST_CASE("the rules' waits and the store's days are read") {
  const Garden garden;
  const auto loaded = garden.load(
      "[rules]\ncover_grace = \"1m\"\njam_repeats = 4\nproof_within = \"8h\"\n[store]\nincidents = 30\nreadings = 2\n");
  REQUIRE(first_error(loaded) == "");
  CHECK(loaded.config.rules.cover_grace == 1min);
  CHECK(loaded.config.rules.jam_repeats == 4);
  CHECK(loaded.config.rules.proof_within == 8h);
  CHECK(loaded.config.store.incidents == std::chrono::days{30});
  CHECK(loaded.config.store.notices == std::chrono::days{30});
  CHECK(loaded.config.store.readings == std::chrono::days{2});
  CHECK(first_error(garden.load("[rules]\njam_repeat = 4\n")).find("jam_repeats") != std::string::npos);
}

TEST_CASE("days and times are read only as they are written down") {
  CHECK(parse_time_of_day("00:00") == 0min);
  CHECK(parse_time_of_day("23:59") == 23h + 59min);
  for (const auto* text : {"", "7:00", "07:60", "24:00", "07-00", "07:0x", "+7:00"})
    CHECK_FALSE(parse_time_of_day(text));
  CHECK(parse_weekday("sun") == std::chrono::Sunday);
  for (const auto* text : {"", "Sun", "sunday"}) CHECK_FALSE(parse_weekday(text));
  CHECK(parse_local_moment("2028-02-29T00:00"));
  for (const auto* text :
       {"2026-02-29T00:00", "2026-13-01T00:00", "2026-01-01 00:00", "2026-01-01T00:00Z", "2026-1-01T00:00"})
    CHECK_FALSE(parse_local_moment(text));
}

}  // namespace
}  // namespace frisket::config
