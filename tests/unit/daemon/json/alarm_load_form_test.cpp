#include <catch2/catch.hpp>

#include "daemon/json/forms.h"

using namespace frisket;
using incidents::AlarmLoad;
using incidents::Incident;
using incidents::What;
using json::Json;
using namespace std::chrono_literals;

namespace {

constexpr model::WallTime kEight = std::chrono::sys_days{std::chrono::year{2026} / 1 / 5} + 8h;

incidents::Transition raised(const std::string& id, const std::string& device, model::WallTime at) {
  Incident incident;
  incident.id = id;
  incident.kind = device.empty() ? "site-silent" : "media-jam";
  incident.site = "glasshouse";
  if (!device.empty()) incident.device = device;
  return {What::raised, at, incident};
}

}  // namespace

TEST_CASE("an alarm load has the same fields for the fleet and for each site") {
  AlarmLoad load;
  load.note(raised("1", "herbarium-copier", kEight));
  load.note(raised("2", "", kEight + 1min));
  const auto form = json::alarm_load_form(load.figures(kEight + 2min));
  const auto* span = R"({"raised":2,"per_hour":2.0,"per_ten_minutes":0.333,"rate":"very-likely-acceptable",
    "peak":2,"peak_verdict":"normally-fine"})";
  CHECK(form.at("hour") == Json::parse(span));
  CHECK(form.at("day").at("per_hour") == 0.083);   // 2 / 24
  CHECK(form.at("week").at("per_hour") == 0.012);  // 2 / 168
  CHECK(form.at("noisiest") == Json::parse(R"([{"device":null,"kind":"site-silent","raised":1},
    {"device":"herbarium-copier","kind":"media-jam","raised":1}])"));
  CHECK(form.at("noisiest_share") == 1.0);
  CHECK(form.at("forgotten_before").is_null());
  REQUIRE(form.at("sites").size() == 1);
  auto site = form.at("sites")[0];
  CHECK(site.at("name") == "glasshouse");
  for (const auto* field : {"hour", "day", "week", "in_flood"}) CHECK(site.at(field) == form.at(field));
}

TEST_CASE("a flood has its times, and none for its end while it lasts") {
  AlarmLoad load;
  for (int i = 0; i < 10; ++i) load.note(raised(std::to_string(i), "herbarium-copier", kEight + i * 1min));
  auto form = json::alarm_load_form(load.figures(kEight + 10min));
  CHECK(form.at("in_flood") == true);
  CHECK(form.at("floods") == Json::parse(R"([{"from":"2026-01-05T08:09:00.000Z","until":null,"raised":10}])"));
  form = json::alarm_load_form(load.figures(kEight + 1h));
  CHECK(form.at("in_flood") == false);
  CHECK(form.at("floods")[0].at("until") == "2026-01-05T08:15:00.000Z");
}
