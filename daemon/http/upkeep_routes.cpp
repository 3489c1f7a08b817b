#include "daemon/http/upkeep_routes.h"

#include <algorithm>
#include <array>

#include "daemon/http/upkeep.h"
#include "daemon/http/upkeep_bodies.h"
#include "daemon/http/upkeep_form.h"

namespace frisket::http {
namespace {

using json::Json;
using model::Result;
using upkeep::Due;
using upkeep::Resolution;

constexpr std::array kDues = {Due::later, Due::soon, Due::due, Due::overdue};
constexpr std::array kResolutions = {Resolution::raw, Resolution::hour, Resolution::day, Resolution::week};
constexpr std::string_view kNobodyKeepsIt = "upkeep is not kept here";

Upkeep* upkeep_of(const Call& call) { return call.commands == nullptr ? nullptr : call.commands->upkeep(); }

Response no_upkeep(const Call& call) { return problem(503, kNobodyKeepsIt, call.target.path); }

bool lets_through(const std::set<std::string>& wanted, const std::string& value) {
  return wanted.empty() || wanted.contains(value);
}

// One page of a list, cut by the key of its last item, with when the forecasts were made.
class Page {
 public:
  explicit Page(Window window) : window_(std::move(window)) {}

  // Items in order of key. False: the page is full.
  bool add(const std::string& key, const std::function<Json()>& form) {
    if (!window_.after.empty() && !seen_after_) {
      seen_after_ = key == window_.after;
      return true;
    }
    if (items_.size() == window_.limit) {
      next_ = last_;
      return false;
    }
    items_.push_back(form());
    last_ = key;
    return true;
  }

  // 400 where the item to go on after is not in the list: it may have gone since, and the rest cannot be told.
  Response response(const Call& call, const upkeep::Outlook* outlook) && {
    if (!window_.after.empty() && !seen_after_)
      return problem(400, "after is '" + window_.after + "', which is not in this list, or no longer: begin without it",
                     call.target.path);
    Json body;
    body["items"] = std::move(items_);
    body["next"] = next_ ? Json(*next_) : Json();
    body["made_at"] = outlook == nullptr ? Json() : Json(model::to_rfc3339(outlook->made_at));
    return make_response(200, kJson, json::text_of(body));
  }

 private:
  Window window_;
  Json items_ = Json::array();
  std::string last_;
  std::optional<std::string> next_;
  bool seen_after_ = false;
};

const config::Device* configured(const Call& call, const std::string& device) { return call.board.configured(device); }

// Every device of the outlook that the parameters `device` and `site` let through, in order of name.
template <class Take>
void each_device(const upkeep::Outlook* outlook, const Call& call, const std::set<std::string>& names,
                 const std::set<std::string>& sites, Take take) {
  if (outlook == nullptr) return;
  for (const auto& [name, device] : outlook->devices) {
    if (!lets_through(names, name) || !lets_through(sites, device->site)) continue;
    const auto* known = configured(call, name);
    if (known != nullptr && !take(*known, *device)) return;
  }
}

// The tasks that the outlook's statuses are of.
const upkeep::ServiceTask* task_of(const upkeep::OutlookSetup& setup, const std::string& device,
                                   const std::string& key) {
  const auto* found = setup.device(device);
  if (found == nullptr || !found->tasks) return nullptr;
  const auto task = std::ranges::find(*found->tasks, key, &upkeep::ServiceTask::key);
  return task == found->tasks->end() ? nullptr : &*task;
}

std::optional<int> number_in(Parameters& parameters, std::string_view name, int least, int most) {
  const auto text = parameters.text(name);
  if (!text) return std::nullopt;
  int number = 0;
  const auto [end, error] = std::from_chars(text->data(), text->data() + text->size(), number);
  if (error != std::errc{} || end != text->data() + text->size() || number < least || number > most)
    parameters.refuse("parameter " + std::string(name) + " is '" + std::string(*text) +
                      "'; allowed: a whole number from " + std::to_string(least) + " to " + std::to_string(most));
  return number;
}

std::optional<model::WallTime> instant_in(Parameters& parameters, std::string_view name) {
  const auto text = parameters.text(name);
  if (!text) return std::nullopt;
  const auto instant = model::from_rfc3339(*text);
  if (!instant)
    parameters.refuse("parameter " + std::string(name) + " is '" + std::string(*text) +
                      "'; allowed: a time such as 2026-11-25T08:00:00Z");
  return instant;
}

// "2026-10"
std::optional<upkeep::year_month> month_in(Parameters& parameters) {
  const auto text = parameters.text("month");
  if (!text) return std::nullopt;
  const auto first = model::from_rfc3339(std::string(*text) + "-01T00:00:00Z");
  if (!first) {
    parameters.refuse("parameter month is '" + std::string(*text) + "'; allowed: a month such as 2026-10");
    return std::nullopt;
  }
  const std::chrono::year_month_day day{std::chrono::floor<std::chrono::days>(*first)};
  return day.year() / day.month();
}

// An answer that comes later: `form` of what the daemon tells, or why it cannot.
template <class T, class Ask, class Form>
Response answered_later(const Call& call, Ask ask, Form form) {
  auto response = make_response(202, kJson, "{}");
  response.later = [ask = std::move(ask), form = std::move(form),
                    path = call.target.path](std::function<void(Response)> answer) {
    ask([answer = std::move(answer), form, path](const Result<T>& told) {
      if (!told) return answer(problem(status_of(told.error().kind), told.error().what, path));
      answer(make_response(200, kJson, json::text_of(form(*told))));
    });
  };
  return response;
}

}  // namespace

Response get_order(Call& call) {
  call.parameters.allow({"wanted", "limit", "after"});
  const auto wanted = call.parameters.flag("wanted");
  Page page(call.parameters.window());
  if (call.parameters.why()) return bad_request(call);
  const auto* upkeep = upkeep_of(call);
  if (upkeep == nullptr) return no_upkeep(call);
  const auto* outlook = upkeep->outlook();
  if (outlook != nullptr)
    for (const auto& line : outlook->order)
      if ((!wanted || *wanted == (line.wanted > 0)) &&
          !page.add(line.part.number, [&] { return order_line_form(line); }))
        break;
  return std::move(page).response(call, outlook);
}

Response get_stock(Call& call) {
  call.parameters.allow({"limit", "after"});
  Page page(call.parameters.window());
  if (call.parameters.why()) return bad_request(call);
  const auto* upkeep = upkeep_of(call);
  if (upkeep == nullptr) return no_upkeep(call);
  for (const auto& [part, stock] : upkeep->books().stock)
    if (!page.add(part, [&] { return stock_form(part, stock); })) break;
  return std::move(page).response(call, upkeep->outlook());
}

Response get_upkeep(Call& call) {
  auto& parameters = call.parameters;
  parameters.allow({"device", "site", "state", "limit", "after"});
  const auto names = parameters.texts("device");
  const auto sites = parameters.texts("site");
  const auto states = parameters.words("state", kDues);
  Page page(parameters.window());
  if (parameters.why()) return bad_request(call);
  const auto* upkeep = upkeep_of(call);
  if (upkeep == nullptr) return no_upkeep(call);
  each_device(upkeep->outlook(), call, names, sites, [&](const config::Device& device, const auto& outlook) {
    for (const auto& status : outlook.tasks) {
      const auto* task = task_of(*upkeep->setup(), device.name, status.key);
      if (task == nullptr || (!states.empty() && !states.contains(status.due))) continue;
      const auto form = [&] { return service_form(device, status, *task); };
      if (!page.add(upkeep::service_id(device.name, status.key), form)) return false;
    }
    return true;
  });
  return std::move(page).response(call, upkeep->outlook());
}

// Without a month: the last that is over, by the site's calendar.
Response get_meter(Call& call) {
  auto& parameters = call.parameters;
  parameters.allow({"device", "site", "month", "limit", "after"});
  const auto names = parameters.texts("device");
  const auto sites = parameters.texts("site");
  const auto month = month_in(parameters);
  Page page(parameters.window());
  if (parameters.why()) return bad_request(call);
  const auto* upkeep = upkeep_of(call);
  if (upkeep == nullptr) return no_upkeep(call);
  each_device(upkeep->outlook(), call, names, sites, [&](const config::Device& device, const auto& outlook) {
    const auto& calendar = upkeep->setup()->calendars.at(outlook.site);  // as it was when the outlook was made
    const auto wanted = month.value_or(calendar.month_of(call.request.now) - std::chrono::months{1});
    const auto found = std::ranges::find(outlook.months, wanted, &upkeep::MonthReading::month);
    if (found == outlook.months.end()) return true;
    const auto colour = std::ranges::find(outlook.colour_months, wanted, &upkeep::MonthReading::month);
    const auto* in_colour = colour == outlook.colour_months.end() ? nullptr : &*colour;
    return page.add(device.name, [&] { return month_form(device, outlook.identity, *found, in_colour); });
  });
  return std::move(page).response(call, upkeep->outlook());
}

Response get_round(Call& call) {
  auto& parameters = call.parameters;
  parameters.allow({"site", "days", "minutes"});
  RoundAsked asked;
  if (const auto site = parameters.text("site")) asked.site = *site;
  asked.days = number_in(parameters, "days", 1, 366).value_or(asked.days);
  asked.minutes = number_in(parameters, "minutes", 1, 1440);
  if (parameters.why()) return bad_request(call);
  const auto* upkeep = upkeep_of(call);
  if (upkeep == nullptr) return no_upkeep(call);
  if (!asked.site.empty() && !call.board.has_site(asked.site))
    return problem(404, "no site of this name is configured", call.target.path);
  const auto location_of = [&](const std::string& device) {
    const auto* known = configured(call, device);
    return known == nullptr ? std::string() : known->location;
  };
  Json form;
  form["site"] = asked.site.empty() ? Json() : Json(asked.site);
  form["days"] = asked.days;
  form["budget"] = asked.minutes ? Json(*asked.minutes) : Json();
  form["made_at"] = upkeep->outlook() == nullptr ? Json() : Json(model::to_rfc3339(upkeep->outlook()->made_at));
  form.update(round_form(upkeep->round(asked), location_of, upkeep->books().stock));
  return make_response(200, kJson, json::text_of(form));
}

Response get_history(Call& call) {
  auto& parameters = call.parameters;
  parameters.allow({"from", "to", "resolution"});
  HistoryAsked asked;
  asked.device = call.argument;
  asked.from = instant_in(parameters, "from");
  asked.to = instant_in(parameters, "to");
  const auto resolutions = parameters.words("resolution", kResolutions);
  if (resolutions.size() > 1) parameters.refuse("parameter resolution has more than one value");
  if (!resolutions.empty()) asked.resolution = *resolutions.begin();
  if (asked.from && *asked.from >= std::min(asked.to.value_or(call.request.now), call.request.now))
    parameters.refuse("parameter from is not before the end of the time asked for");
  if (parameters.why()) return bad_request(call);
  auto* upkeep = upkeep_of(call);
  if (upkeep == nullptr) return no_upkeep(call);
  if (configured(call, asked.device) == nullptr)
    return problem(404, "no device of this name is configured", call.target.path);
  const auto form = [asked, &board = call.board](const ToldHistory& told) {
    Json answer;
    answer["device"] = asked.device;
    answer["from"] = model::to_rfc3339(told.span.from);
    answer["to"] = model::to_rfc3339(told.span.to);
    answer["resolution"] = to_text(asked.resolution);
    answer.update(lines_form(told.lines));
    answer["incidents"] = board.incidents_within(asked.device, told.span.from, told.span.to);
    return answer;
  };
  return answered_later<ToldHistory>(
      call, [upkeep, asked](Upkeep::HistoryTold done) { upkeep->history(asked, std::move(done)); }, form);
}

Response get_symptoms(Call& call) {
  call.parameters.allow({"limit", "after"});
  Page page(call.parameters.window());
  if (call.parameters.why()) return bad_request(call);
  const auto* upkeep = upkeep_of(call);
  if (upkeep == nullptr) return no_upkeep(call);
  for (const auto& symptom : upkeep->complaints().symptoms)
    if (!page.add(symptom.key, [&] { return Json{{"symptom", symptom.key}, {"title", symptom.title}}; })) break;
  return std::move(page).response(call, upkeep->outlook());
}

// The newest first.
Response get_complaints(Call& call) {
  call.parameters.allow({"device", "limit", "after"});
  const auto names = call.parameters.texts("device");
  Page page(call.parameters.window());
  if (call.parameters.why()) return bad_request(call);
  const auto* upkeep = upkeep_of(call);
  if (upkeep == nullptr) return no_upkeep(call);
  const auto& complaints = upkeep->books().complaints;
  for (auto complaint = complaints.rbegin(); complaint != complaints.rend(); ++complaint)
    if (lets_through(names, complaint->device) && !page.add(complaint->id, [&] { return complaint_form(*complaint); }))
      break;
  return std::move(page).response(call, upkeep->outlook());
}

Response get_reliability(Call& call) {
  auto& parameters = call.parameters;
  parameters.allow({"device", "site"});
  const auto names = parameters.texts("device");
  const auto sites = parameters.texts("site");
  if (parameters.why()) return bad_request(call);
  const auto* upkeep = upkeep_of(call);
  if (upkeep == nullptr) return no_upkeep(call);
  const auto* fleet = upkeep->reliability();
  Json answer = {{"items", Json::array()}, {"next", nullptr}, {"models", Json::array()},
                 {"kinds", Json::array()}, {"from", nullptr}, {"to", nullptr}};
  if (fleet != nullptr) {
    answer["from"] = model::to_rfc3339(fleet->window.from);
    answer["to"] = model::to_rfc3339(fleet->window.to);
    each_device(upkeep->outlook(), call, names, sites, [&](const config::Device& device, const auto&) {
      const auto found = fleet->devices.find(device.name);
      if (found == fleet->devices.end()) return true;
      auto form = reliability_form(found->second);
      form["site"] = device.site;
      answer["items"].push_back(std::move(form));
      return true;
    });
    for (const auto& model : fleet->models) answer["models"].push_back(model_form(model));
    for (const auto& kind : fleet->kinds) answer["kinds"].push_back(kind_form(kind));
  }
  return make_response(200, kJson, json::text_of(answer));
}

Response post_stock(Call& call) {
  if (auto misfit = misfit_of_post(call)) return std::move(*misfit);
  auto act = stock_act_from(call.request);
  if (!act) return problem(400, act.error().what, call.target.path);
  auto* upkeep = upkeep_of(call);
  if (upkeep == nullptr) return no_upkeep(call);
  return answered_later<upkeep::StockLevel>(
      call, [upkeep, act = std::move(*act)](Upkeep::StockTold told) { upkeep->stock(act, std::move(told)); },
      [](const upkeep::StockLevel& level) { return stock_form(level.part, level.stock); });
}

Response post_service_done(Call& call) {
  if (auto misfit = misfit_of_post(call)) return std::move(*misfit);
  auto done = service_done_from(call.request, call.argument);
  if (!done) return problem(400, done.error().what, call.target.path);
  auto* upkeep = upkeep_of(call);
  if (upkeep == nullptr) return no_upkeep(call);
  const auto* device = configured(call, done->device);
  const auto* task = upkeep->setup() == nullptr ? nullptr : task_of(*upkeep->setup(), done->device, done->task);
  if (device == nullptr || task == nullptr)
    return problem(404, "the service plan has no such task; ids are as in GET /v1/upkeep", call.target.path);
  return answered_later<upkeep::TaskStatus>(
      call, [upkeep, done = std::move(*done)](Upkeep::ServiceTold told) { upkeep->serviced(done, std::move(told)); },
      [device = *device, task = *task](const upkeep::TaskStatus& status) {
        return service_form(device, status, task);
      });
}

Response post_complaint(Call& call) {
  if (auto misfit = misfit_of_post(call)) return std::move(*misfit);
  auto* upkeep = upkeep_of(call);
  if (upkeep == nullptr) return no_upkeep(call);
  auto complaint = complaint_from(call.request, call.argument, upkeep->complaints());
  if (!complaint) return problem(400, complaint.error().what, call.target.path);
  if (configured(call, complaint->device) == nullptr)
    return problem(404, "no device of this name is configured", call.target.path);
  return answered_later<ToldComplaint>(
      call,
      [upkeep, complaint = std::move(*complaint)](Upkeep::ComplaintTold told) {
        upkeep->complain(complaint, std::move(told));
      },
      [upkeep](const ToldComplaint& told) {
        return diagnosis_form(told.complaint, told.diagnosis, upkeep->complaints());
      });
}

Response post_outcome(Call& call) {
  if (auto misfit = misfit_of_post(call)) return std::move(*misfit);
  auto* upkeep = upkeep_of(call);
  if (upkeep == nullptr) return no_upkeep(call);
  auto outcome = outcome_from(call.request, upkeep->complaints());
  if (!outcome) return problem(400, outcome.error().what, call.target.path);
  const auto& complaints = upkeep->books().complaints;
  std::string id(call.argument);
  if (std::ranges::find(complaints, id, &upkeep::Complaint::id) == complaints.end())
    return problem(404, "no complaint with this id is known", call.target.path);
  return answered_later<upkeep::Complaint>(
      call,
      [upkeep, id = std::move(id), outcome = std::move(*outcome)](Upkeep::OutcomeTold told) {
        upkeep->outcome(id, outcome, std::move(told));
      },
      complaint_form);
}

}  // namespace frisket::http
