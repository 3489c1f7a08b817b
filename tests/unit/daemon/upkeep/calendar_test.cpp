#include "daemon/upkeep/calendar.h"

#include "facts.h"
#include "moments.h"

using namespace frisket;
using namespace frisket::upkeep;
using namespace std::chrono_literals;
using moments::at;
using moments::calendar;
using moments::day;

TEST_CASE("the day of a clock change has 23 or 25 hours, its neighbours 24") {
  // IANA time zone database; tests/facts/upkeep/clock-changes.csv.
  for (const auto& row : facts::rows_of("clock-changes.csv")) {
    const Calendar site = calendar(row.at(0));
    for (const auto& [text, hours] : {std::pair{row.at(1), 23h}, std::pair{row.at(2), 25h}}) {
      INFO(row.at(0) << " " << text);
      const WallTime change = at(text);
      const LocalDay local = site.day_of(change);
      CHECK(site.length_of(local) == hours);
      CHECK(site.length_of(local - std::chrono::days{1}) == 24h);
      CHECK(site.length_of(local + std::chrono::days{1}) == 24h);
      CHECK(site.start_of(local) <= change);
      CHECK(change < site.start_of(local + std::chrono::days{1}));
    }
  }
}

TEST_CASE("every instant belongs to the day between whose ends it lies, in every zone tried") {
  for (const char* zone : {"UTC", "Europe/Dublin", "Asia/Kathmandu", "Pacific/Auckland", "America/Santiago",
                           "Asia/Beirut", "Australia/Lord_Howe", "America/St_Johns"}) {
    const Calendar site = calendar(zone);
    WallTime instant = at("2023-01-01T00:00:00Z");
    for (int step = 0; step < 3000; ++step, instant += 7h + 13min) {
      const LocalDay local = site.day_of(instant);
      const bool inside = site.start_of(local) <= instant && instant < site.start_of(local + std::chrono::days{1});
      if (!inside) FAIL(zone << " " << model::to_rfc3339(instant));
    }
  }
  SUCCEED();
}

TEST_CASE("a day without midnight begins at the change") {
  // America/Santiago skips from 24:00 of 2024-09-07 to 01:00 (IANA: 2024-09-08T04:00Z).
  const Calendar site = calendar("America/Santiago");
  CHECK(site.start_of(day(2024, 9, 8)) == at("2024-09-08T04:00:00Z"));
  CHECK(site.length_of(day(2024, 9, 8)) == 23h);
}

TEST_CASE("a date that the zone skipped has no length") {
  // Pacific/Apia went over the date line: no 2011-12-30.
  const Calendar site = calendar("Pacific/Apia");
  CHECK(site.length_of(day(2011, 12, 30)) == 0h);
  CHECK(site.length_of(day(2011, 12, 29)) == 24h);
}

TEST_CASE("months begin at local midnight") {
  const Calendar berlin = calendar("Europe/Berlin");
  CHECK(berlin.month_of(at("2026-06-30T21:59:59.999Z")) == std::chrono::year{2026} / 6);
  CHECK(berlin.month_of(at("2026-06-30T22:00:00Z")) == std::chrono::year{2026} / 7);
  CHECK(berlin.start_of(std::chrono::year{2026} / 7) == at("2026-06-30T22:00:00Z"));
  CHECK(to_text(std::chrono::year{2026} / std::chrono::July) == "2026-07");
}

TEST_CASE("ISO 8601 weeks belong to the year of their Thursday") {
  CHECK(iso_week_of(day(2024, 12, 30)) == IsoWeek{2025, 1, 1});
  CHECK(iso_week_of(day(2025, 12, 29)) == IsoWeek{2026, 1, 1});
  CHECK(iso_week_of(day(2026, 12, 31)) == IsoWeek{2026, 53, 4});
  CHECK(iso_week_of(day(2027, 1, 1)) == IsoWeek{2026, 53, 5});
  CHECK(iso_week_of(day(2021, 1, 3)) == IsoWeek{2020, 53, 7});
}

TEST_CASE("holidays are looked up by local date, however they were listed") {
  const Calendar site = calendar("Europe/Dublin", {day(2026, 12, 25), day(2026, 3, 17), day(2026, 12, 25)});
  CHECK(site.holiday(day(2026, 3, 17)));
  CHECK(site.holiday(day(2026, 12, 25)));
  CHECK_FALSE(site.holiday(day(2026, 12, 24)));
  CHECK_FALSE(calendar("UTC").holiday(day(2026, 12, 25)));
}

TEST_CASE("yearly dates repeat, and 29 February only where it exists") {
  using std::chrono::month_day;
  const auto dates = yearly({std::chrono::February / 29, std::chrono::December / 25}, 2023, 2025);
  CHECK(dates == std::vector{day(2023, 12, 25), day(2024, 2, 29), day(2024, 12, 25), day(2025, 12, 25)});
}

TEST_CASE("a zone that does not exist is an error of the caller, not an exception") {
  for (const char* zone : {"Europe/Kew", "", "../../etc/passwd"}) {
    const auto made = Calendar::of(zone);
    REQUIRE_FALSE(made);
    CHECK(made.error().kind == model::Error::Kind::invalid);
  }
}

TEST_CASE("weekdays count from Monday") {
  CHECK(weekday_of(day(2026, 11, 23)) == 0);
  CHECK(weekday_of(day(2026, 11, 29)) == 6);
  CHECK(to_text(day(2026, 3, 9)) == "2026-03-09");
}
