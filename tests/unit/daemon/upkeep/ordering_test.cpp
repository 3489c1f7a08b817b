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

}  // namespace

TEST_CASE("reorder points agree with the textbook's cases") {
  // Heizer and Render, Operations Management (numbers from memory, arithmetic checked).
  const auto varying_demand = reorder_point(15, 5, 2, 0, 1.28);
  CHECK(varying_demand.safety_stock == Approx(9.0510).margin(1e-4));
  CHECK(varying_demand.point == Approx(39.0510).margin(1e-4));
  CHECK(reorder_point(10, 0, 6, 3, 2.055).point == Approx(121.65).margin(1e-9));
  CHECK(reorder_point(150, 16, 5, 1, 1.645).point == Approx(1003.6716).margin(1e-3));
  CHECK(economic_quantity(1000, 10, 0.50) == Approx(200));
}

TEST_CASE("with many devices the order agrees with the normal formula of the textbook") {
  // 400 devices, each sure to use one within some day of the next 60, evenly spread: over twelve
  // days about 80 are wanted, each independently: binomial(400, 0.2)-like.
  std::vector<PartUse> uses;
  for (int i = 0; i < 400; ++i) {
    const double day = 0.15 * (i + 0.5);
    uses.push_back({"device-" + std::to_string(i), dated(day * 0.7, day, day / 0.7), std::nullopt, 0.3});
  }
  const Demand demand = demand_within(uses, kNow, 12);
  CHECK(demand.mean == Approx(80).epsilon(0.06));
  CHECK(demand.quantile(0.95) ==
        static_cast<int>(std::ceil(demand.mean + normal_quantile(0.95) * std::sqrt(demand.variance) - 0.5)));
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
