#include "daemon/http/upkeep_form.h"

#include <algorithm>
#include <cmath>

#include "daemon/json/values.h"

namespace frisket::http {
namespace {

using json::Json;
using json::or_null;
using json::percent_or_null;
using json::text_or_null;
using json::time_or_null;
using model::WallTime;

double in_days(model::Milliseconds span) { return std::chrono::duration<double, std::ratio<86400>>(span).count(); }
double rounded(double value, double steps) { return std::round(value * steps) / steps; }

Json days_or_null(const std::optional<WallTime>& then, WallTime now) {
  return then ? Json(rounded(std::max(0.0, in_days(*then - now)), 10)) : Json();
}

Json hours_or_null(const std::optional<model::Milliseconds>& span) {
  return span ? Json(rounded(in_days(*span) * 24, 10)) : Json();
}

Json carried_form(const upkeep::CarriedItem& item) {
  return {{"part", item.part}, {"maker", item.maker}, {"colorant", item.colorant}, {"count", item.count}};
}

template <class List, class Form>
Json list_of(const List& list, Form form) {
  Json items = Json::array();
  for (const auto& item : list) items.push_back(form(item));
  return items;
}

Json round_job_form(const upkeep::RoundTask& task) {
  return {{"key", task.key},
          {"what", task.title},
          {"why", task.why},
          {"incident", text_or_null(task.incident)},
          {"severity", task.severity ? Json(to_text(*task.severity)) : Json()},
          {"task", text_or_null(task.service)},
          {"supply", or_null(task.supply)},
          {"minutes", task.minutes},
          {"value", rounded(task.value, 10)},
          {"cautions", task.cautions},
          {"steps", task.steps},
          {"carry", list_of(task.carry, carried_form)}};
}

Json done_form(const upkeep::TaskDone* done) {
  if (done == nullptr) return nullptr;
  return {{"at", model::to_rfc3339(done->at)},
          {"by", done->by},
          {"impressions", std::llround(done->impressions)},
          {"count", or_null(done->shown)}};
}

Json rate_form(const std::optional<upkeep::JamFigure>& jam) {
  if (!jam) return nullptr;
  const auto& rate = jam->rate;
  return {{"value", rounded(rate.value, 100)},
          {"low", rounded(rate.limits.low, 100)},
          {"high", rounded(rate.limits.high, 100)}};
}

// Of a device or a model.
template <class Counted>
void add_jams(Json& form, const Counted& counted) {
  form["jams"] = counted.jams;
  form["sheets"] = std::llround(counted.sheets);
  form["rate"] = rate_form(counted.jam);
  form["worse"] = counted.jam && counted.jam->worse;
  form["better"] = counted.jam && counted.jam->better;
}

Json flags_form(const std::vector<upkeep::MeterFlag>& flags) {
  return list_of(flags, [](auto flag) { return to_text(flag); });
}

// All but those in colour: blank sides too, where the device counts them. Nothing where the two figures may not be of
// the same time.
std::optional<std::int64_t> monochrome_of(const upkeep::MonthReading& month, const upkeep::MonthReading& colour) {
  const bool whole = std::ranges::find(colour.flags, upkeep::MeterFlag::incomplete) == colour.flags.end();
  if (!whole || colour.flags != month.flags || colour.impressions > month.impressions) return std::nullopt;
  return std::llround(month.impressions) - std::llround(colour.impressions);
}

}  // namespace

Json days_left_form(const upkeep::DepletionForecast& forecast, WallTime now) {
  if (forecast.no_date) return nullptr;
  return {{"p10", days_or_null(forecast.p10, now)},
          {"p50", days_or_null(forecast.p50, now)},
          {"p90", days_or_null(forecast.p90, now)}};
}

void add_dates(Json& supply, const upkeep::DepletionForecast* forecast, WallTime now) {
  if (forecast == nullptr) {
    supply["days_left"] = nullptr;
    supply["days_left_why"] = "no forecast has been made yet";
    supply["runs_out"] = nullptr;
    return;
  }
  supply["days_left"] = days_left_form(*forecast, now);
  supply["days_left_why"] = text_or_null(forecast->reason);
  supply["runs_out"] = forecast->no_date ? Json()
                                         : Json{{"p10", time_or_null(forecast->p10)},
                                                {"p50", time_or_null(forecast->p50)},
                                                {"p90", time_or_null(forecast->p90)}};
}

Json order_line_form(const upkeep::OrderLine& line) {
  const auto& part = line.part;
  return {
      {"part", part.number},
      {"maker", part.maker},
      {"description", part.description},
      {"colorant", part.colorant},
      {"supplier", part.supplier.name},
      {"count", line.wanted},
      {"pack_size", part.pack_size},
      {"packs", line.wanted / std::max(1, part.pack_size)},
      {"on_hand", line.stock.on_shelf},
      {"on_order", line.stock.on_order},
      {"reorder_point", line.reorder_at < 0 ? json::Json() : json::Json(line.reorder_at)},
      {"order_by", time_or_null(line.order_by)},
      {"runs_out_first", time_or_null(line.first_out)},
      {"for_devices", line.devices},
      {"undated", line.undated},
      {"demand",
       {{"days", part.supplier.lead_days + part.supplier.review_days}, {"mean", rounded(line.until_next.mean, 100)}}},
      {"why", line.why}};
}

Json stock_form(const std::string& part, const upkeep::Stock& stock) {
  return {{"part", part}, {"on_hand", stock.on_shelf}, {"on_order", stock.on_order}};
}

Json service_form(const config::Device& device, const upkeep::TaskStatus& status, const upkeep::ServiceTask& task) {
  return {{"id", upkeep::service_id(device.name, status.key)},
          {"device", device.name},
          {"site", device.site},
          {"location", device.location},
          {"task", status.key},
          {"title", task.title},
          {"state", to_text(status.due)},
          {"share", rounded(status.share, 100)},
          {"due_at", time_or_null(status.next)},
          {"last_done", done_form(status.last.get())},
          {"minutes", task.minutes},
          {"why", upkeep::why(status, task)},
          {"remedy", {{"cautions", task.cautions}, {"steps", task.steps}}}};
}

Json month_form(const config::Device& device, const model::Identity& identity, const upkeep::MonthReading& month,
                const upkeep::MonthReading* colour) {
  return {{"device", device.name},
          {"site", device.site},
          {"maker", text_or_null(identity.maker)},
          {"model", text_or_null(identity.model)},
          {"serial", text_or_null(identity.serial)},
          {"month", upkeep::to_text(month.month)},
          {"impressions", std::llround(month.impressions)},
          {"flags", flags_form(month.flags)},
          {"colour", colour == nullptr ? Json() : Json(std::llround(colour->impressions))},
          {"monochrome", colour == nullptr ? Json() : or_null(monochrome_of(month, *colour))},
          {"colour_flags", colour == nullptr ? Json::array() : flags_form(colour->flags)}};
}

Json round_form(const upkeep::RoundPlan& plan, const std::function<std::string(const std::string&)>& location_of,
                const std::map<std::string, upkeep::Stock>& stock) {
  Json form;
  form["minutes"] = rounded(plan.minutes, 10);
  form["walking_minutes"] = rounded(plan.walking_minutes, 10);
  form["stops"] = list_of(plan.stops, [&](const upkeep::RoundStop& stop) {
    double minutes = 0;
    for (const auto& task : stop.tasks) minutes += task.minutes;
    return Json{{"device", stop.device},
                {"building", stop.location.building},
                {"floor", stop.location.floor},
                {"place", stop.location.place},
                {"location", location_of(stop.device)},
                {"minutes", minutes},
                {"jobs", list_of(stop.tasks, round_job_form)}};
  });
  form["carry"] = list_of(plan.carry, [&](const upkeep::CarriedItem& item) {
    auto carried = carried_form(item);
    const auto found = stock.find(item.part);
    carried["on_hand"] = found == stock.end() ? Json() : Json(found->second.on_shelf);
    return carried;
  });
  Json left = Json::array();
  for (const auto& stop : plan.left)
    for (const auto& task : stop.tasks)
      left.push_back({{"device", stop.device}, {"what", task.title}, {"why", task.why}});
  form["left_out"] = std::move(left);
  return form;
}

Json lines_form(const upkeep::PastLines& lines) {
  Json form;
  form["series"] = list_of(lines.series, [](const upkeep::Series& line) {
    const auto name = line.supply ? "supply:" + std::to_string(*line.supply) : std::string("impressions");
    return Json{{"name", name},
                {"unit", line.supply ? "percent" : "impressions"},
                {"description", line.what.description},
                {"colorant", line.what.colorant},
                {"points", list_of(line.points, [](const upkeep::LinePoint& point) {
                   return Json::array({model::to_rfc3339(point.at), percent_or_null(point.value)});
                 })}};
  });
  form["unobserved"] = list_of(lines.unobserved, [](const upkeep::Span& span) {
    return Json{{"from", model::to_rfc3339(span.from)}, {"to", model::to_rfc3339(span.to)}};
  });
  return form;
}

Json complaint_form(const upkeep::Complaint& complaint) {
  return {{"id", complaint.id},
          {"device", complaint.device},
          {"symptom", complaint.symptom},
          {"at", model::to_rfc3339(complaint.at)},
          {"by", complaint.by},
          {"note", complaint.note},
          {"known", complaint.known},
          {"cause", text_or_null(complaint.cause)},
          {"closed_at", time_or_null(complaint.closed_at)}};
}

Json diagnosis_form(const upkeep::Complaint& complaint, const upkeep::Diagnosis& diagnosis,
                    const upkeep::ComplaintTable& table) {
  constexpr double kLeast = 0.01;
  const auto* symptom = table.symptom(complaint.symptom);
  auto form = complaint_form(complaint);
  form["title"] = symptom == nullptr ? "" : symptom->title;
  form["causes"] = Json::array();
  for (const auto& ranked : diagnosis.causes) {
    const auto* cause = table.cause(ranked.cause);
    if (cause == nullptr || ranked.probability < kLeast) continue;
    form["causes"].push_back({{"cause", ranked.cause},
                              {"title", cause->title},
                              {"probability", rounded(ranked.probability, 1000)},
                              {"prior", rounded(ranked.prior, 1000)},
                              {"evidence", list_of(ranked.evidence,
                                                   [&](const upkeep::Weight& weight) {
                                                     const auto* seen = table.observation(weight.observation);
                                                     return Json{{"observation", weight.observation},
                                                                 {"question", seen == nullptr ? "" : seen->question},
                                                                 {"so", weight.so},
                                                                 {"weight", rounded(weight.log_odds, 100)}};
                                                   })},
                              {"cautions", cause->cautions},
                              {"steps", cause->steps}});
  }
  form["checks"] = list_of(diagnosis.checks, [&](const upkeep::NextCheck& check) {
    const auto* asked = table.observation(check.observation);
    return Json{{"observation", check.observation},
                {"question", asked == nullptr ? "" : asked->question},
                {"minutes", check.minutes},
                {"bits", rounded(check.bits, 1000)}};
  });
  return form;
}

Json reliability_form(const upkeep::DeviceReliability& device) {
  const auto& availability = device.availability;
  Json form = {{"device", device.device},
               {"maker", text_or_null(device.identity.maker)},
               {"model", text_or_null(device.identity.model)},
               {"places", list_of(device.places,
                                  [](const upkeep::PlaceJams& at) {
                                    return Json{{"place", text_or_null(at.place)}, {"jams", at.jams}};
                                  })},
               {"availability", availability.share ? Json(rounded(*availability.share, 10000)) : Json()},
               {"observed_hours", rounded(in_days(availability.observed) * 24, 10)},
               {"down_hours", rounded(in_days(availability.down) * 24, 10)}};
  add_jams(form, device);
  return form;
}

Json model_form(const upkeep::ModelReliability& model) {
  Json form = {{"maker", text_or_null(model.maker)}, {"model", model.model}, {"devices", model.devices}};
  add_jams(form, model);
  return form;
}

Json kind_form(const upkeep::KindReliability& kind) {
  const auto& figures = kind.figures;
  return {{"kind", kind.kind},
          {"incidents", figures.incidents},
          {"open", figures.open},
          {"mean_between_hours", hours_or_null(figures.mean_between)},
          {"mean_between_low_hours", hours_or_null(figures.between_low)},
          {"mean_between_high_hours", hours_or_null(figures.between_high)},
          {"mean_repair_hours", hours_or_null(figures.mean_repair)},
          {"median_repair_hours", hours_or_null(figures.median_repair)}};
}

}  // namespace frisket::http
