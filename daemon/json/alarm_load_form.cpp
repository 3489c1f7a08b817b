#include <cmath>

#include "daemon/json/forms.h"
#include "daemon/json/values.h"

namespace frisket::json {
namespace {

// More than three decimals would only be noise.
double rounded(double number) { return std::round(number * 1000.0) / 1000.0; }

Json span_form(const incidents::LoadOver& load) {
  return {{"raised", load.raised},
          {"per_hour", rounded(load.per_hour)},
          {"per_ten_minutes", rounded(load.per_ten_minutes)},
          {"rate", to_text(load.rate)},
          {"peak", load.peak},
          {"peak_verdict", to_text(load.worst)}};
}

Json place_form(const incidents::PlaceLoad& load) {
  return {{"hour", span_form(load.hour)},
          {"day", span_form(load.day)},
          {"week", span_form(load.week)},
          {"in_flood", load.in_flood}};
}

}  // namespace

Json alarm_load_form(const incidents::LoadFigures& figures) {
  auto form = place_form(figures.fleet);
  form["chattering"] = figures.chattering;
  form["stale"] = figures.stale;
  Json floods = Json::array();
  for (const auto& flood : figures.floods)
    floods.push_back(
        {{"from", model::to_rfc3339(flood.from)}, {"until", time_or_null(flood.until)}, {"raised", flood.raised}});
  form["floods"] = std::move(floods);
  Json noisiest = Json::array();
  for (const auto& pair : figures.noisiest)
    noisiest.push_back({{"device", text_or_null(pair.device)}, {"kind", pair.kind}, {"raised", pair.raised}});
  form["noisiest"] = std::move(noisiest);
  form["noisiest_share"] = rounded(figures.noisiest_share);
  form["forgotten_before"] = time_or_null(figures.forgotten_before);
  Json sites = Json::array();
  for (const auto& load : figures.sites) {
    Json site = {{"name", load.site}};
    site.update(place_form(load));
    sites.push_back(std::move(site));
  }
  form["sites"] = std::move(sites);
  return form;
}

}  // namespace frisket::json
