#include "daemon/http/queue_routes.h"

#include "daemon/http/queue_act_body.h"
#include "daemon/json/forms.h"

namespace frisket::http {
namespace {

constexpr std::string_view kNoSuchQueue = "no queue of this name is known";

// A word of kQueueStates, as Parameters reads enumerations.
struct StateWord {
  std::string_view word;
  friend auto operator<=>(const StateWord&, const StateWord&) = default;
};

std::string_view to_text(StateWord state) { return state.word; }

std::set<std::string_view> states_in(Parameters& parameters) {
  std::array<StateWord, kQueueStates.size()> all;
  std::ranges::transform(kQueueStates, all.begin(), [](auto word) { return StateWord{word}; });
  std::set<std::string_view> states;
  for (const auto state : parameters.words("state", all)) states.insert(state.word);
  return states;
}

Response post_act(Call& call, QueueVerb verb) {
  if (auto misfit = misfit_of_post(call)) return std::move(*misfit);
  auto act = queue_act_from(call.request, verb, call.argument);
  if (!act) return problem(400, act.error().what, call.target.path);
  const auto& queues = call.board.queues().entries();
  const auto queue = queues.find(act->queue);
  if (queue == queues.end()) return problem(404, kNoSuchQueue, call.target.path);
  if (const auto& why = queue->second.status().read_only; !why.empty())
    return problem(409, "nothing can be done to this queue: " + why, call.target.path);
  if (call.commands == nullptr) return problem(503, "nothing can be changed here", call.target.path);
  auto response = make_response(202, kJson, "{}");
  response.later = [commands = call.commands, act = std::move(*act), path = call.target.path,
                    personal = call.access.may_see_personal()](std::function<void(Response)> answer) {
    commands->act_on_queue(act, [answer = std::move(answer), path, personal](const auto& outcome) {
      if (!outcome) return answer(problem(status_of(outcome.error().kind), outcome.error().what, path));
      auto done = make_response(200, kJson, json::text_of(outcome_form(*outcome, personal)));
      done.audit_detail = audit_detail_of(*outcome);
      answer(std::move(done));
    });
  };
  return response;
}

}  // namespace

Response get_queues(Call& call) {
  auto& parameters = call.parameters;
  parameters.allow({"site", "device", "spooler", "state", "accepting", "limit", "after", "fields"});
  QueueFilter filter;
  filter.sites = parameters.texts("site");
  filter.devices = parameters.texts("device");
  filter.spoolers = parameters.texts("spooler");
  filter.states = states_in(parameters);
  filter.accepting = parameters.flag("accepting");
  auto window = parameters.window();
  window.fields = parameters.fields([] { return json::queue_form({}); });
  if (parameters.why()) return bad_request(call);
  return list_response(call, call.board.queues().list(filter, window));
}

Response get_queue(Call& call) {
  call.parameters.allow({});
  if (call.parameters.why()) return bad_request(call);
  const std::string name(call.argument);
  auto form = call.board.queues().queue(name);
  if (!form) return problem(404, kNoSuchQueue, call.target.path);
  return versioned(call, Pieces(std::move(*form)), call.board.queues().version(name));
}

Response get_queue_jobs(Call& call) {
  call.parameters.allow({});
  if (call.parameters.why()) return bad_request(call);
  auto jobs = call.board.queues().jobs(std::string(call.argument), call.access.may_see_personal());
  if (!jobs) return problem(404, kNoSuchQueue, call.target.path);
  return make_response(200, kJson, std::move(*jobs));
}

Response post_queue_pause(Call& call) { return post_act(call, QueueVerb::pause); }
Response post_queue_resume(Call& call) { return post_act(call, QueueVerb::resume); }
Response post_queue_cancel(Call& call) { return post_act(call, QueueVerb::cancel); }
Response post_queue_move(Call& call) { return post_act(call, QueueVerb::move); }
Response post_queue_restart(Call& call) { return post_act(call, QueueVerb::restart); }

}  // namespace frisket::http
