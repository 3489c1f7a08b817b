#include "daemon/http/routes.h"

#include <algorithm>
#include <array>
#include <string>

#include "daemon/http/body.h"
#include "daemon/http/call.h"
#include "daemon/http/entity_tags.h"
#include "daemon/http/page_files.h"
#include "daemon/http/queue_routes.h"
#include "daemon/http/test_print_routes.h"
#include "daemon/http/upkeep_routes.h"
#include "daemon/json/forms.h"

namespace frisket::http {
namespace {

using incidents::DeviceState;
using incidents::Incident;
using model::Severity;

constexpr std::array kDeviceStates = {DeviceState::ready,   DeviceState::busy,   DeviceState::attention,
                                      DeviceState::stopped, DeviceState::silent, DeviceState::unknown};
constexpr std::array kIncidentStates = {Incident::State::raised, Incident::State::cleared};
constexpr std::array kOperatorStates = {Incident::Operator::none, Incident::Operator::ack, Incident::Operator::shelved,
                                        Incident::Operator::closed};
constexpr std::array kSeverities = {Severity::critical, Severity::major, Severity::minor, Severity::warning};

Pieces selected(const std::string& form, const FieldNames& fields) {
  if (fields.empty()) return Pieces(form);
  std::string some;
  append_selected(some, form, members_of(form), fields);
  return Pieces(std::move(some));
}

Response get_health(Call& call) {
  call.parameters.allow({});
  if (call.parameters.why()) return bad_request(call);
  return make_response(200, kJson, call.board.health(call.request.now));
}

Response get_fleet(Call& call) {
  call.parameters.allow({});
  if (call.parameters.why()) return bad_request(call);
  auto fleet = call.board.fleet(call.request.now);
  return versioned(call, std::move(fleet), call.board.fleet_version());
}

// draft-ietf-opsawg-openmetrics section 2.
Response get_metrics(Call& call) {
  call.parameters.allow({});
  if (call.parameters.why()) return bad_request(call);
  return make_response(200, "application/openmetrics-text; version=1.0.0; charset=utf-8",
                       call.board.metrics(call.request.now));
}

Response get_openapi(Call& call) {
  call.parameters.allow({});
  if (call.parameters.why()) return bad_request(call);
  const auto& document = openapi_files().front();
  return tagged(make_response(200, kJson, std::string(document.content)), std::string(document.tag));
}

Response get_devices(Call& call) {
  auto& parameters = call.parameters;
  parameters.allow({"state", "site", "limit", "after", "fields"});
  DeviceFilter filter;
  filter.states = parameters.words("state", kDeviceStates);
  filter.sites = parameters.texts("site");
  auto window = parameters.window();
  window.fields = parameters.fields([] { return json::device_form({}, {}); });
  if (parameters.why()) return bad_request(call);
  return list_response(call, call.board.devices(filter, window));
}

Response get_device(Call& call) {
  call.parameters.allow({"fields"});
  const auto fields = call.parameters.fields([] { return json::device_form({}, {}); });
  if (call.parameters.why()) return bad_request(call);
  const std::string name(call.argument);
  const auto form = call.board.device(name);
  if (!form) return problem(404, "no device of this name is configured", call.target.path);
  return versioned(call, selected(*form, fields), call.board.device_version(name));
}

Response get_supplies(Call& call) {
  auto& parameters = call.parameters;
  parameters.allow({"device", "site", "low", "limit", "after", "fields"});
  SupplyFilter filter;
  filter.device.names = parameters.texts("device");
  filter.device.sites = parameters.texts("site");
  filter.low = parameters.flag("low");
  auto window = parameters.window();
  window.fields = parameters.fields([] { return json::supply_item_form({}, json::supply_form({}, {})); });
  if (parameters.why()) return bad_request(call);
  return list_response(call, call.board.supplies(filter, window));
}

Response get_incidents(Call& call) {
  auto& parameters = call.parameters;
  parameters.allow({"state", "operator", "severity", "site", "kind", "device", "queue", "limit", "after", "fields"});
  IncidentFilter filter;
  filter.states = parameters.words("state", kIncidentStates);
  filter.operator_states = parameters.words("operator", kOperatorStates);
  filter.severities = parameters.words("severity", kSeverities);
  filter.sites = parameters.texts("site");
  filter.kinds = parameters.texts("kind");
  filter.devices = parameters.texts("device");
  filter.queues = parameters.texts("queue");
  auto window = parameters.window();
  window.fields = parameters.fields([] { return json::incident_form({}); });
  if (parameters.why()) return bad_request(call);
  return list_response(call, call.board.incidents(filter, window));
}

Response get_incident(Call& call) {
  call.parameters.allow({"fields"});
  const auto fields = call.parameters.fields([] { return json::incident_form({}); });
  if (call.parameters.why()) return bad_request(call);
  const std::string id(call.argument);
  const auto form = call.board.incident(id);
  if (!form) return problem(404, "no incident with this id is known, or it was cleared long ago", call.target.path);
  return versioned(call, selected(*form, fields), call.board.incident_version(id));
}

// A reader that names no event begins with what happens next. The first line of all gives it
// an id to come back with, even if nothing happens before the line breaks.
Response get_events(Call& call) {
  call.parameters.allow({});
  if (call.parameters.why()) return bad_request(call);
  auto& events = call.board.events();
  const auto& seen = call.request.last_event_id;
  const auto position = seen ? events.position_of(*seen) : events.newest();
  std::string preface = "retry: 2000\n";
  if (position) {
    preface += "id: " + events.id_of(*position) + "\n\n";
  } else {
    const json::Json data = {{"last_event_id", *seen}, {"detail", "events between are no longer kept: read the lists"}};
    preface += event_text(events.id_of(events.newest()), "gap", json::text_of(data));
  }
  auto response = make_response(200, "text/event-stream", std::move(preface));
  response.follow = EventFollow{position.value_or(events.newest())};
  return response;
}

std::string_view content_type_of(std::string_view name) {
  if (name.ends_with(".html")) return "text/html; charset=utf-8";
  if (name.ends_with(".css")) return "text/css; charset=utf-8";
  if (name.ends_with(".js")) return "text/javascript; charset=utf-8";
  if (name.ends_with(".svg")) return "image/svg+xml";
  return "application/octet-stream";
}

Response page_file(const Call& call, std::string_view name) {
  const auto files = page_files();
  const auto file = std::ranges::find(files, name, &PageFile::name);
  if (file == files.end()) return problem(404, "the page has no such file", call.target.path);
  return tagged(make_response(200, content_type_of(name), std::string(file->content)), std::string(file->tag));
}

Response get_page(Call& call) { return page_file(call, "index.html"); }
Response get_page_file(Call& call) { return page_file(call, call.argument); }

// What a person says of an incident, answered once it is kept.
Response act(Call& call, incidents::OperatorState state) {
  if (auto misfit = misfit_of_post(call)) return std::move(*misfit);
  auto action = action_from(call.request, state);
  if (!action) return problem(400, action.error().what, call.target.path);
  std::string id(call.argument);
  if (!call.board.incident(id))
    return problem(404, "no incident with this id is known, or it was cleared long ago", call.target.path);
  if (call.commands == nullptr) return problem(503, "nothing can be changed here", call.target.path);
  auto response = make_response(202, kJson, "{}");
  response.later = [commands = call.commands, id = std::move(id), action = std::move(*action),
                    path = call.target.path](std::function<void(Response)> answer) {
    commands->act(id, action, [answer = std::move(answer), path](const model::Result<incidents::Incident>& after) {
      answer(after ? make_response(200, kJson, json::text_of(json::incident_form(*after)))
                   : problem(after.error().kind == model::Error::Kind::invalid ? 409 : 503, after.error().what, path));
    });
  };
  return response;
}

Response post_ack(Call& call) { return act(call, incidents::OperatorState::ack); }
Response post_shelve(Call& call) { return act(call, incidents::OperatorState::shelved); }
Response post_close(Call& call) { return act(call, incidents::OperatorState::closed); }
Response post_take_back(Call& call) { return act(call, incidents::OperatorState::none); }

// One notice to one hook, to see whether it arrives.
Response post_hook_test(Call& call) {
  if (auto misfit = misfit_of_post(call)) return std::move(*misfit);
  if (call.commands == nullptr) return problem(503, "nothing can be changed here", call.target.path);
  auto response = make_response(202, kJson, "{}");
  response.later = [commands = call.commands, hook = std::string(call.argument),
                    path = call.target.path](std::function<void(Response)> answer) {
    commands->test_hook(hook, [hook, path, answer = std::move(answer)](const model::Result<std::string>& said) {
      if (!said && said.error().kind == model::Error::Kind::invalid)
        return answer(problem(404, said.error().what, path));
      const json::Json form = {
          {"hook", hook}, {"told", said.has_value()}, {"receiver", said ? *said : said.error().what}};
      answer(make_response(200, kJson, json::text_of(form)));
    });
  };
  return response;
}

Slice audit_slice(const std::vector<model::AuditRecord>& records, std::size_t most) {
  std::string items;
  for (std::size_t i = 0; i < std::min(most, records.size()); ++i)
    items.append(i == 0 ? "" : ",").append(json::text_of(json::audit_form(records[i])));
  Slice slice;
  slice.items.add(std::move(items));
  if (records.size() > most) slice.next = std::to_string(records[most - 1].number);
  return slice;
}

// The newest first; the key is the number.
Response get_audit(Call& call) {
  call.parameters.allow({"limit", "after"});
  const auto window = call.parameters.window();
  model::AuditWindow wanted{window.limit + 1, 0};  // one more, so that there being more shows
  if (!window.after.empty()) wanted.before = call.parameters.number("after", window.after);
  if (call.parameters.why()) return bad_request(call);
  if (call.trail == nullptr) return problem(503, "nothing is written down here", call.target.path);
  auto response = make_response(202, kJson, "{}");
  response.later = [trail = call.trail, wanted, path = call.target.path](std::function<void(Response)> answer) {
    trail->read_audit(wanted, [most = wanted.limit - 1, path, answer = std::move(answer)](const auto& records) {
      if (!records) return answer(problem(503, records.error().text(), path));
      answer(list_response(audit_slice(*records, most)));
    });
  };
  return response;
}

using config::Right;

struct Route {
  std::string_view method;  // GET answers HEAD too
  std::string_view path;
  Response (*handle)(Call&);
  std::string_view act = {};                  // what it changes, in the audit trail; POST only
  std::optional<Right> needs = std::nullopt;  // not said: GET needs read, anything else operate
  bool is_open = false;                       // tells nothing of the fleet, so anybody may have it

  bool changes() const { return method != "GET"; }
  Right right() const { return needs.value_or(changes() ? Right::operate : Right::read); }
};

constexpr std::array kRoutes = {
    // Open: a browser cannot show a token before it has the page that asks for one.
    Route{"GET", "/", get_page, "", std::nullopt, true},
    Route{"GET", "/page/{file}", get_page_file, "", std::nullopt, true},
    Route{"GET", "/metrics", get_metrics},
    Route{"GET", "/v1/openapi.json", get_openapi},
    Route{"GET", "/v1/health", get_health},
    Route{"GET", "/v1/fleet", get_fleet},
    Route{"GET", "/v1/devices", get_devices},
    Route{"GET", "/v1/devices/{name}", get_device},
    Route{"GET", "/v1/devices/{name}/history", get_history},
    Route{"POST", "/v1/devices/{name}/testprint", post_testprint, "device.testprint"},
    Route{"POST", "/v1/devices/{name}/complaints", post_complaint, "device.complain"},
    Route{"GET", "/v1/supplies", get_supplies},
    Route{"GET", "/v1/queues", get_queues},
    Route{"GET", "/v1/queues/{name}", get_queue},
    Route{"GET", "/v1/queues/{name}/jobs", get_queue_jobs},
    Route{"POST", "/v1/queues/{name}/pause", post_queue_pause, "queue.pause"},
    Route{"POST", "/v1/queues/{name}/resume", post_queue_resume, "queue.resume"},
    Route{"POST", "/v1/queues/{name}/cancel", post_queue_cancel, "queue.cancel"},
    Route{"POST", "/v1/queues/{name}/move", post_queue_move, "queue.move"},
    Route{"POST", "/v1/queues/{name}/restart", post_queue_restart, "queue.restart"},
    Route{"GET", "/v1/incidents", get_incidents},
    Route{"GET", "/v1/incidents/{id}", get_incident},
    Route{"POST", "/v1/incidents/{id}/ack", post_ack, "incident.ack"},
    Route{"POST", "/v1/incidents/{id}/shelve", post_shelve, "incident.shelve"},
    Route{"POST", "/v1/incidents/{id}/close", post_close, "incident.close"},
    Route{"POST", "/v1/incidents/{id}/take-back", post_take_back, "incident.take-back"},
    Route{"GET", "/v1/round", get_round},
    Route{"GET", "/v1/order", get_order},
    Route{"GET", "/v1/stock", get_stock},
    Route{"POST", "/v1/stock", post_stock, "stock"},
    Route{"GET", "/v1/upkeep", get_upkeep},
    Route{"POST", "/v1/upkeep/{id}/done", post_service_done, "upkeep.done"},
    Route{"GET", "/v1/meter", get_meter},
    Route{"GET", "/v1/reliability", get_reliability},
    Route{"GET", "/v1/symptoms", get_symptoms},
    Route{"GET", "/v1/complaints", get_complaints},
    Route{"POST", "/v1/complaints/{id}/outcome", post_outcome, "complaint.outcome"},
    Route{"POST", "/v1/hooks/{name}/test", post_hook_test, "hook.test"},
    Route{"GET", "/v1/events", get_events},
    Route{"GET", "/v1/audit", get_audit, "", Right::administer},
};

// Whether the segments fit the path; if so, what stands for its {}.
std::optional<std::string_view> match(std::string_view path, const std::vector<std::string>& segments) {
  std::string_view argument;
  path.remove_prefix(1);
  for (const auto& segment : segments) {
    const auto slash = path.find('/');
    const auto expected = path.substr(0, slash);
    if (expected.starts_with('{') && !segment.empty())
      argument = segment;
    else if (expected != segment)
      return std::nullopt;
    path.remove_prefix(slash == path.npos ? path.size() : slash + 1);
    // Too many segments fail above: nothing matches the empty rest but an empty segment.
    if (slash == path.npos && &segment != &segments.back()) return std::nullopt;
  }
  if (!path.empty()) return std::nullopt;
  return argument;
}

// Asks at the gate, and has the route answer if it may be.
Response pass(const Route& route, std::string_view argument, const Request& request, const Target& target,
              FleetBoard& board, Commands* commands, Gate& gate) {
  std::optional<Act> act;
  if (route.changes()) act = {std::string(route.act.empty() ? route.path : route.act), std::string(argument)};
  const auto decision = route.is_open
                            ? Decision(Access{std::string(config::kNobodyName), Right::read, request.origin.text()})
                            : gate.enter(request, route.right());
  if (const auto* refusal = std::get_if<Refusal>(&decision)) return gate.refused(*refusal, request, target.path, act);
  const auto& access = std::get<Access>(decision);
  Call call{request, target, board, commands, gate.trail(), access, argument, Parameters(target)};
  auto response = route.handle(call);
  if (!act) return response;
  return gate.recorded(std::move(response), access, request, std::move(*act));
}

Response route(const Request& request, const Target& target, FleetBoard& board, Commands* commands, Gate& gate) {
  std::string allowed;
  for (const auto& candidate : kRoutes) {
    const auto argument = match(candidate.path, target.segments);
    if (!argument) continue;
    const bool is_head = request.method == "HEAD" && candidate.method == "GET";
    if (request.method == candidate.method || is_head)
      return pass(candidate, *argument, request, target, board, commands, gate);
    allowed.append(allowed.empty() ? "" : ", ").append(candidate.method);
    if (candidate.method == "GET") allowed += ", HEAD";
  }
  if (allowed.empty()) return problem(404, "nothing is served under this path", target.path);
  auto response = problem(405, "this path takes " + allowed, target.path);
  response.fields.emplace_back("Allow", allowed);
  return response;
}

}  // namespace

Response respond(const Request& request, FleetBoard& board, const HostRule& hosts, Commands* commands, Gate* gate) {
  const auto finish = [&](Response response) {
    if (request.method == "GET" || request.method == "HEAD")
      response = unless_known(std::move(response), request.if_none_match);
    response.head_only = request.method == "HEAD";
    return response;
  };
  const auto target = parse_target(request.target);
  if (!target) return finish(problem(400, target.error().what, ""));
  const auto& host = target->authority ? target->authority : request.host;
  if (host && !is_our_host(*host, hosts))
    return finish(problem(421, "this service does not go by that name", target->path));
  if (gate != nullptr)
    if (auto too_many = gate->too_many(request, target->path)) return finish(std::move(*too_many));
  if (gate != nullptr) return finish(route(request, *target, board, commands, *gate));
  Gate without_tokens;
  return finish(route(request, *target, board, commands, without_tokens));
}

std::vector<RouteName> route_names() {
  std::vector<RouteName> names;
  names.reserve(kRoutes.size());
  for (const auto& candidate : kRoutes) names.push_back({candidate.method, candidate.path});
  return names;
}

}  // namespace frisket::http
