#include "daemon/upkeep/device_forecast.h"

#include <cmath>

#include "moments.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using frisket::model::Amount;
using moments::calendar;
using moments::day;

namespace {

// 240 impressions a day, ten an hour; a cartridge lasts 6000, so 25 days.
struct Device {
  DeviceHistory history;
  Calendar site = calendar("UTC");
  WallTime begin = site.start_of(day(2026, 1, 5));
  explicit Device(int days, int blind_days = 0) {
    history.supplies.emplace_back();
    int said = -1;
    for (int hour = 0; hour < 24 * (days - blind_days); ++hour) {
      const auto at = begin + 1h * hour;
      history.counter.samples.push_back({at, static_cast<std::uint32_t>(5000 + 10 * hour), false});
      const int level = static_cast<int>(std::ceil(100 - std::fmod(10.0 * hour / 60, 100.0)));
      if (level != said) history.supplies[0].samples.push_back({at, Amount{level}, Amount{100}, std::nullopt, false});
      said = level;
    }
    if (blind_days > 0) history.counter.unobserved.push_back({begin + 24h * (days - blind_days), begin + 24h * days});
  }
  DeviceForecast forecast(WallTime now) const { return forecast_device(history, site, {}, now); }
};

}  // namespace

TEST_CASE("from raw counter and levels to the date, in one call") {
  const Device device(60);  // ten days into the third cartridge: fifteen are left
  const WallTime now = device.begin + 24h * 60;
  const DeviceForecast forecast = device.forecast(now);
  CHECK(forecast.days.size() == 60);
  REQUIRE(forecast.supplies.size() == 1);
  REQUIRE(forecast.supplies[0].p50);
  CHECK(days_between(now, *forecast.supplies[0].p50) == Approx(15).margin(1.2));
  CHECK(forecast.supplies[0].per_impression == Approx(1.0 / 60).epsilon(0.02));
}

TEST_CASE("while a device is silent its forecast is that of when it was last heard") {
  const Device heard(60), silent(66, 6);
  const WallTime now = silent.begin + 24h * 66;
  const DeviceForecast forecast = silent.forecast(now);
  CHECK(forecast.seen == silent.begin + 24h * 60);
  CHECK(forecast.days.size() == 60);  // the six unknown days are not days without use
  CHECK(forecast.supplies[0].p50 == heard.forecast(heard.begin + 24h * 60).supplies[0].p50);
  // Long after, the date is not in the past.
  const WallTime later = silent.begin + 24h * 100;
  Device long_silent = silent;
  long_silent.history.counter.unobserved.back().to = later;
  CHECK(long_silent.forecast(later).supplies[0].p50 == later);
}

TEST_CASE("without a counter the supply meters itself") {
  Device device(60);
  device.history.counter.samples.clear();
  const WallTime now = device.begin + 24h * 60;
  const DeviceForecast forecast = device.forecast(now);
  CHECK_FALSE(forecast.use);
  REQUIRE(forecast.supplies[0].p50);
  CHECK(days_between(now, *forecast.supplies[0].p50) == Approx(15).margin(1.5));
}

TEST_CASE("a device of which nothing is known has no dates and a reason for each supply") {
  DeviceHistory nothing;
  nothing.supplies.resize(2);
  const DeviceForecast forecast = forecast_device(nothing, calendar("UTC"), {}, moments::at("2026-11-25T00:00:00Z"));
  REQUIRE(forecast.supplies.size() == 2);
  CHECK(forecast.supplies[0].no_date == NoDate::not_reported);
  CHECK_FALSE(forecast.use);
}
