#include "daemon/client/queue_verb.h"

#include <algorithm>

#include "daemon/client/listing.h"
#include "daemon/client/queue_views.h"

namespace frisket::client {
namespace {

class QueueDesk {
 public:
  QueueDesk(const Request& request, Surroundings& around)
      : request_(request), around_(around), path_("/v1/queues/" + percent_encoded(request.subject)) {}

  Result<Printout> show() {
    const auto json = get_document(around_.server, path_);
    if (!json) return json.error();
    const auto queue = queue_from(*json);
    if (!queue) return queue.error();
    if (request_.json) return as_served(*json);
    const auto list = get_list(around_.server, "/v1/incidents",
                               {{"state", "raised"}, {"operator", "none,ack"}, {"queue", request_.subject}});
    if (!list) return list.error();
    const auto open = incidents_from(*list);
    if (!open) return open.error();
    return Printout{around_.terminal ? queue_screen(*queue, *open, screen()) : queue_lines(*queue, *open)};
  }

  Result<Printout> jobs() {
    const auto json = get_document(around_.server, path_ + "/jobs");
    if (!json) return json.error();
    const auto jobs = queue_jobs_from(*json);
    if (!jobs) return jobs.error();
    if (request_.json) return as_served(*json);
    return Printout{around_.terminal ? queue_jobs_screen(*jobs, screen()) : queue_jobs_lines(*jobs)};
  }

  Result<Printout> act() {
    if (loses_jobs() && !request_.dry_run && !request_.yes) {
      const auto refusal = ask_first();
      if (refusal) return *refusal;
    }
    const auto json = post_document(around_.server, path_ + '/' + request_.act, body(request_.dry_run));
    if (!json) return json.error();
    const auto outcome = queue_outcome_from(*json);
    if (!outcome) return outcome.error();
    Printout out = as_served(*json);
    if (!request_.json)
      out.text = around_.terminal ? queue_outcome_screen(*outcome, screen()) : queue_outcome_lines(*outcome);
    const bool all_taken = std::ranges::all_of(outcome->jobs, &std::string::empty, &ActedJob::trouble);
    if (!all_taken) out.status = ExitStatus::refused;
    return out;
  }

 private:
  Screen screen() const { return {around_.width, around_.colour, around_.now(), around_.zone}; }

  // Or may print them elsewhere than where their owners go to fetch them.
  bool loses_jobs() const {
    return request_.act == "restart" || request_.act == "move" || (request_.act == "cancel" && request_.waiting);
  }

  Json body(bool dry_run) const {
    Json body = {{"dry_run", dry_run}, {"by", request_.by.empty() ? around_.user : request_.by}};
    if (!request_.note.empty()) body["note"] = request_.note;
    if (request_.job != 0) body["job"] = request_.job;
    if (request_.head) body["head"] = true;
    if (request_.waiting) body["waiting"] = true;
    if (!request_.to.empty()) body["to"] = request_.to;
    return body;
  }

  // Nothing once somebody said yes.
  std::optional<model::Error> ask_first() {
    const auto no = [&](const char* what) {
      return model::Error{
          .kind = model::Error::Kind::invalid, .doing = request_.act, .whom = inert(request_.subject), .what = what};
    };
    if (!around_.ask)
      return no(
          "this can lose jobs, and there is no terminal to ask at: say --yes to do it, or --dry-run to see what it "
          "would do. Nothing was done");
    const auto json = post_document(around_.server, path_ + '/' + request_.act, body(true));
    if (!json) return json.error();
    const auto outcome = queue_outcome_from(*json);
    if (!outcome) return outcome.error();
    if (around_.ask(queue_outcome_screen(*outcome, screen()) + "Do it? Type yes: ")) return std::nullopt;
    return no("nothing was done");
  }

  const Request& request_;
  Surroundings& around_;
  std::string path_;
};

}  // namespace

Result<Printout> queue_verb(const Request& request, Surroundings& around) {
  QueueDesk desk(request, around);
  if (request.act.empty()) return desk.show();
  return request.act == "jobs" ? desk.jobs() : desk.act();
}

}  // namespace frisket::client
