#include "daemon/upkeep/ordering.h"

#include "daemon/upkeep/distributions.h"
#include "moments.h"

using namespace frisket::upkeep;
using namespace std::chrono_literals;
using moments::at;

namespace {

const WallTime kNow = at("2026-11-25T06:00:00Z");

DepletionForecast dated(double p10, double p50, double p90) {
  DepletionForecast forecast;
  const auto days = [](double count) { return kNow + Milliseconds{static_cast<std::int64_t>(count * 86400000)}; };
  forecast.p10 = days(p10);
  forecast.p50 = days(p50);
  forecast.p90 = days(p90);
  return forecast;
}

PartDemand toner(std::vector<PartUse> uses, Stock stock = {}) {
  PartDemand entry;
  entry.part.number = "HT-40K";
  entry.part.maker = "Hortus";
  entry.part.colorant = "black";
  entry.part.supplier = {"stationer", 5, 7, 0.95};
  entry.stock = stock;
  entry.uses = std::move(uses);
  return entry;
}

// Demand per day and its deviation, worked out apart from the code, and a time in days: the textbook's reorder point
// for independent days (Heizer and Render, Operations Management; formula from memory). z of 95 % is from the normal
// table.
double textbook_point(double per_day, double deviation, double days) {
  constexpr double kService95 = 1.644854;
  return per_day * days + kService95 * deviation * std::sqrt(days);
}

OrderLine order_for(const std::vector<PartUse>& uses, int lead_days, int review_days) {
  auto entry = toner(uses);
  entry.part.supplier.lead_days = lead_days;
  entry.part.supplier.review_days = review_days;
  return order_list(std::vector{entry}, kNow)[0];
}

// The order goes out at or under this stock, and one more is enough: the textbook's point, which is no whole number,
// lies between.
double point_of(const OrderLine& line) { return line.reorder_at + 0.5; }

}  // namespace

TEST_CASE("a varying demand needs what the textbook's case needs") {
  // Heizer and Render, Operations Management (numbers from memory, arithmetic checked): 15 a day, deviation 5, two
  // days, 90 %: 39. Its normal law is symmetric, a count is not quite: one piece of tolerance.
  CHECK(Demand{15 * 2, 5 * 5 * 2}.quantile(0.90) == Approx(39.0510).margin(1));
}

TEST_CASE("for many independent devices the order list's reorder point is the textbook's") {
  // 200 devices, of which each empties its one cartridge within the twelve days with the same chance, by the meaning of
  // p10 and p50: a binomial number, 200 p wanted, variance 200 p (1 - p). One piece of tolerance for whole numbers.
  const auto alike = [](double p10, double p50) {
    return std::vector<PartUse>(200, PartUse{"device", dated(p10, p50, 4 * p50), std::nullopt, 0.3});
  };
  const auto binomial = [](double p) { return textbook_point(200 * p / 12, std::sqrt(200 * p * (1 - p) / 12), 12); };
  CHECK(point_of(order_for(alike(12, 30), 5, 7)) == Approx(binomial(0.1)).margin(1));  // 26.98
  CHECK(point_of(order_for(alike(5, 12), 5, 7)) == Approx(binomial(0.5)).margin(1));   // 111.63
}

TEST_CASE("for many devices that use one after the other it is the textbook's too") {
  // 200 devices, a whole one lasts 10 days with a deviation of 3: 20 a day in the long run, and from now on where the
  // time to the first one has the steady state's mean, (10^2 + 3^2) / 20 = 5.45 days, so spread evenly up to 10.9. The
  // variance of a number of renewals grows by deviation^2 / mean^3 a day, 0.009 for each (both: Cox, Renewal Theory,
  // from memory). Over 60 days that is 1200 and 17.1 for safety. Three pieces of tolerance: the variance has a part
  // that does not grow, and numbers are whole.
  std::vector<PartUse> uses;
  for (int i = 0; i < 200; ++i) {
    const double first = 10.9 * (i + 0.5) / 200;
    uses.push_back({"device", dated(first * 0.7, first, first / 0.7), 10.0, 0.3});
  }
  CHECK(point_of(order_for(uses, 53, 7)) == Approx(textbook_point(20, std::sqrt(200 * 0.009), 60)).margin(3));
}

TEST_CASE("one device that runs out before the next delivery is ordered for, once") {
  const auto lines = order_list(std::vector{toner({{"herbarium-copier", dated(3, 5, 8), 60.0, 0.3}})}, kNow);
  REQUIRE(lines.size() == 1);
  CHECK(lines[0].wanted == 1);
  CHECK(lines[0].devices == std::vector<std::string>{"herbarium-copier"});
  CHECK(lines[0].order_by == kNow);  // five days of delivery: today is late already
  CHECK(lines[0].why.find("0 on the shelf, 0 on order") != std::string::npos);
}

TEST_CASE("what is on the shelf or on its way is not ordered again") {
  const std::vector<PartUse> uses{{"herbarium-copier", dated(3, 5, 8), 60.0, 0.3}};
  CHECK(order_list(std::vector{toner(uses, {1, 0})}, kNow)[0].wanted == 0);
  CHECK(order_list(std::vector{toner(uses, {0, 1})}, kNow)[0].wanted == 0);
  CHECK(order_list(std::vector{toner(uses, {1, 0})}, kNow)[0].why.find("enough") != std::string::npos);
}

TEST_CASE("a supply that lasts for months is not ordered today, and says when") {
  const auto line = order_list(std::vector{toner({{"palm-house", dated(80, 100, 125), 200.0, 0.3}})}, kNow)[0];
  CHECK(line.wanted == 0);
  REQUIRE(line.order_by);
  const double days = days_between(kNow, *line.order_by);
  CHECK(days > 55);
  CHECK(days < 85);
}

TEST_CASE("a fast device needs several within the lead time") {
  const auto line = order_list(std::vector{toner({{"plotter", dated(1.5, 2, 2.6), 3.0, 0.2}})}, kNow)[0];
  // Twelve days: at 2, 5, 8, 11: four, perhaps five.
  CHECK(line.until_next.mean == Approx(3.9).margin(0.3));
  CHECK(line.wanted >= 4);
  CHECK(line.wanted <= 5);
}

TEST_CASE("orders come in packs, and a pack that would spoil is named") {
  auto entry = toner({{"herbarium-copier", dated(3, 5, 8), 400.0, 0.3}});
  entry.part.pack_size = 4;
  entry.part.shelf_life_days = 365;
  const auto line = order_list(std::vector{entry}, kNow)[0];
  CHECK(line.wanted == 4);
  CHECK(line.why.find("3 more than are used within their shelf life") != std::string::npos);
}

TEST_CASE("a device without a date is named, not guessed for") {
  DepletionForecast none;
  none.no_date = NoDate::some_left_only;
  const auto line = order_list(std::vector{toner({{"seed-bank", none, std::nullopt, 0.3}})}, kNow)[0];
  CHECK(line.wanted == 0);
  CHECK(line.undated == std::vector<std::string>{"seed-bank"});
  CHECK_FALSE(line.order_by);
}

TEST_CASE("the most pressing line comes first") {
  auto calm = toner({{"a", dated(200, 250, 300), std::nullopt, 0.3}});
  calm.part.number = "calm";
  auto soon = toner({{"b", dated(3, 4, 5), std::nullopt, 0.3}});
  soon.part.number = "soon";
  const auto lines = order_list(std::vector{calm, soon}, kNow);
  CHECK(lines[0].part.number == "soon");
}

TEST_CASE("no demand, no order") {
  CHECK(demand_within({}, kNow, 12).quantile(0.95) == 0);
  CHECK(order_list(std::vector{toner({})}, kNow)[0].wanted == 0);
  CHECK(order_list({}, kNow).empty());
}
