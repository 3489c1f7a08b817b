#include "daemon/upkeep/depletion.h"

#include <cmath>

#include "moments.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using frisket::model::Amount;
using moments::calendar;
using moments::day;

namespace {

// A device on an even diet: 100 impressions every day of the week, one percent each 20 impressions.
class Office {
 public:
  explicit Office(int days) : days_(days) {
    const LocalDay first = day(2026, 1, 5);
    for (int i = 0; i < days; ++i) use_.push_back({first + std::chrono::days{i}, 100, false});
    begin_ = site_.start_of(first);
    now_ = begin_ + 24h * days;
  }

  // Falls by `step` each time that step is used up, from full, replaced when `until` is reached.
  void runs(int step = 1, int until = 0) {
    double left = 100;
    for (int i = 0; i < days_ * 20; ++i) {  // five impressions at a time
      const auto at = begin_ + 72min * i;
      const int level = static_cast<int>(std::ceil(left / step - 1e-9)) * step;
      if (history_.samples.empty() || history_.samples.back().level != frisket::model::Level{Amount{level}}) {
        says(at, Amount{level}, 5.0 * i);
      }
      left -= 5.0 / 20;
      if (left <= until) left = 100;
      left_ = left;
    }
  }
  void says(WallTime at, frisket::model::Level level, double impressions) {
    history_.samples.push_back({at, level, Amount{100}, impressions, false});
  }
  void says_now(frisket::model::Level level) { says(now_ - 1h, level, 100.0 * days_); }

  DepletionForecast forecast(const std::optional<PartPrior>& prior = std::nullopt) const {
    const auto model = fit_use(use_, site_);
    std::optional<UseForecast> use;
    if (model) use.emplace(*model, site_, now_, kHorizonDays);
    const LevelSeries series = segment(history_);
    return deplete({series, prior, use ? &*use : nullptr, use_.size(), 100.0 * days_, now_});
  }

  double days_left(const std::optional<WallTime>& at) const { return days_between(now_, at.value()); }
  double percent_left() const { return left_; }
  WallTime now() const { return now_; }
  SupplyHistory& history() { return history_; }

 private:
  Calendar site_ = calendar("UTC");
  int days_;
  std::vector<DayUse> use_;
  SupplyHistory history_;
  WallTime begin_;
  WallTime now_;
  double left_ = 100;
};

}  // namespace

TEST_CASE("an even diet ends on the day that a division gives") {
  Office office(170);
  office.runs();
  const DepletionForecast forecast = office.forecast();
  REQUIRE_FALSE(forecast.no_date);
  const double truth = office.percent_left() * 20 / 100;  // days
  CHECK(forecast.per_impression == Approx(0.05).epsilon(0.01));
  CHECK(office.days_left(forecast.p50) == Approx(truth).epsilon(0.06));
  CHECK(office.days_left(forecast.p10) < truth);
  CHECK(office.days_left(forecast.p90) > truth);
}

TEST_CASE("ten-percent steps that are rounded up are found out to be, and read as what they mean") {
  Office office(171);
  office.runs(10);
  const DepletionForecast forecast = office.forecast();
  REQUIRE_FALSE(forecast.no_date);
  const double truth = office.percent_left() * 20 / 100;
  CHECK(office.days_left(forecast.p50) == Approx(truth).epsilon(0.12));
  REQUIRE(forecast.percent);
  CHECK(*forecast.percent == Approx(office.percent_left()).margin(3));
}

TEST_CASE("a receptacle's room left is forecast like contents") {
  Office office(170);
  office.runs();
  office.history().supply_class = frisket::model::SupplyClass::receptacle_that_is_filled;
  CHECK(office.forecast().p50);
}

TEST_CASE("there is no date without a reason for it, and each reason is the right one") {
  SECTION("nothing was ever said") {
    const auto forecast = Office(100).forecast();
    CHECK(forecast.no_date == NoDate::not_reported);
    CHECK(forecast.reason == "level not reported");
  }
  SECTION("unknown") {
    Office office(100);
    office.says_now(frisket::model::Unknown{});
    CHECK(office.forecast().reason == "level not reported");
  }
  SECTION("some left") {
    Office office(100);
    office.says_now(frisket::model::SomeLeft{});
    CHECK(office.forecast().reason == "some left only");
  }
  SECTION("no restriction") {
    Office office(100);
    office.says_now(frisket::model::Unlimited{});
    CHECK(office.forecast().no_date == NoDate::unlimited);
  }
  SECTION("too few days of use") {
    Office office(6);
    office.runs();
    CHECK(office.forecast().reason == "too little history: 6 days");
  }
  SECTION("nothing consumed yet, and no fleet to lean on") {
    Office office(20);
    office.says(office.now() - 24h * 20, Amount{80}, 0);
    CHECK(office.forecast().reason == "too little history: 20 days");
  }
  SECTION("a gauge that never moves") {
    Office office(120);
    office.says(office.now() - 24h * 120, Amount{80}, 0);
    const auto forecast = office.forecast();
    CHECK(forecast.no_date == NoDate::nothing_used);
    CHECK(forecast.reason == "nothing consumed in 120 days");
  }
  SECTION("two devices behind one address") {
    Office office(100);
    for (int i = 0; i < 12; ++i) {
      office.says(office.now() - 24h * (12 - i), Amount{i % 2 == 0 ? 30 : 70}, 100.0 * (88 + i));
    }
    const auto forecast = office.forecast();
    CHECK(forecast.no_date == NoDate::contradictory);
    CHECK(forecast.reason == "contradictory: the level rose 6 times in 14 days");
  }
}

TEST_CASE("the fleet's figure for the part dates a cartridge that has not moved yet") {
  Office office(20);
  office.says(office.now() - 24h * 20, Amount{80}, 0);
  const PartPrior prior{std::log(0.02), 0.2, 12};  // a cartridge lasts 5000 impressions
  const auto forecast = office.forecast(prior);
  REQUIRE_FALSE(forecast.no_date);
  CHECK(forecast.from_part);
  CHECK(forecast.per_impression == Approx(0.02));
  CHECK(office.days_left(forecast.p90) - office.days_left(forecast.p10) > 8);
}

TEST_CASE("once a device has cartridges of its own, the fleet's figure hardly counts") {
  Office office(170);
  office.runs();
  const PartPrior prior{std::log(0.02), 0.2, 12};
  const auto forecast = office.forecast(prior);
  CHECK_FALSE(forecast.from_part);
  CHECK(forecast.per_impression == Approx(0.05).epsilon(0.1));
}

TEST_CASE("less history gives wider limits") {
  Office young(14), old(334);  // both 70 percent used since the last replacement
  young.runs();
  old.runs();
  const auto width = [](const Office& office) {
    const auto forecast = office.forecast();
    return (office.days_left(forecast.p90) - office.days_left(forecast.p10)) / office.days_left(forecast.p50);
  };
  REQUIRE(young.percent_left() == Approx(old.percent_left()).margin(1));
  CHECK(width(young) > 1.3 * width(old));
}

TEST_CASE("a supply at zero that is rounded up is used up now") {
  Office office(171);
  office.runs(10);
  office.says_now(Amount{0});
  const auto forecast = office.forecast();
  CHECK(forecast.p50 == office.now());
  CHECK(forecast.percent == 0.0);
}

TEST_CASE("beyond the horizon there is no date and no reason either") {
  Office office(60);
  office.says(office.now() - 24h * 60, Amount{100}, 0);
  const PartPrior prior{std::log(0.0001), 0.2, 12};  // a million impressions
  const auto forecast = office.forecast(prior);
  CHECK_FALSE(forecast.no_date);
  CHECK_FALSE(forecast.p10);
  CHECK_FALSE(forecast.p50);
  CHECK_FALSE(forecast.p90);
}

TEST_CASE("a part's figure needs three devices and is their median") {
  Consumption device;
  std::vector<Consumption> devices;
  for (const double rate : {0.02, 0.021, 0.09}) {
    CHECK_FALSE(part_prior(devices));
    device.per_impression = rate;
    devices.push_back(device);
  }
  const auto prior = part_prior(devices);
  REQUIRE(prior);
  CHECK(std::exp(prior->log_rate) == Approx(0.021));
  CHECK(prior->devices == 3);
  CHECK(prior->deviation > 0.3);
}
