#include "daemon/http/queue_act_body.h"

#include <limits>

#include "daemon/http/body_members.h"

namespace frisket::http {
namespace {

using model::Result;
using Body = nlohmann::json;

// What every act may have, and what is its own.
Result<Body> members_of(const Request& request, QueueVerb verb) {
  switch (verb) {
    case QueueVerb::cancel:
      return body_of(request, {"dry_run", "by", "note", "job", "head", "waiting"});
    case QueueVerb::move:
      return body_of(request, {"dry_run", "by", "note", "to"});
    case QueueVerb::pause:
    case QueueVerb::resume:
    case QueueVerb::restart:
      break;
  }
  return body_of(request, {"dry_run", "by", "note"});
}

QueueAct::What what_of(QueueVerb verb) {
  switch (verb) {
    case QueueVerb::pause:
      return QueueAct::What::pause;
    case QueueVerb::resume:
      return QueueAct::What::resume;
    case QueueVerb::cancel:
      return QueueAct::What::cancel_job;
    case QueueVerb::move:
      return QueueAct::What::move_waiting;
    case QueueVerb::restart:
      return QueueAct::What::restart;
  }
  return QueueAct::What::pause;
}

// RFC 8011 section 5.3.2: a job-id is 1 to MAX.
Result<std::optional<std::int32_t>> job_in(const Body& body) {
  const auto found = body.find("job");
  if (found == body.end() || found->is_null()) return std::optional<std::int32_t>();
  constexpr std::int64_t kMost = std::numeric_limits<std::int32_t>::max();
  const bool fits =
      found->is_number_integer() && (!found->is_number_unsigned() || found->get<std::uint64_t>() <= kMost);
  const auto id = fits ? found->get<std::int64_t>() : 0;
  if (id < 1 || id > kMost) return wrong_body("job must be a job's id, a whole number from 1 to 2147483647");
  return std::optional(static_cast<std::int32_t>(id));
}

Result<QueueAct> with_what_is_cancelled(QueueAct act, const Body& body) {
  auto job = job_in(body);
  if (!job) return job.error();
  const auto head = flag_in(body, "head");
  if (!head) return head.error();
  const auto waiting = flag_in(body, "waiting");
  if (!waiting) return waiting.error();
  if (job->has_value() + static_cast<int>(*head) + static_cast<int>(*waiting) != 1)
    return wrong_body("exactly one of job, head and waiting says what is to be cancelled");
  if (*waiting) act.what = QueueAct::What::cancel_waiting;
  act.job = *job;
  return act;
}

Result<QueueAct> with_where_to(QueueAct act, const Body& body) {
  auto to = text_in(body, "to");
  if (!to) return to.error();
  if (to->empty()) return wrong_body("to must name the queue that takes the jobs");
  if (*to == act.queue) return wrong_body("to names the queue that the jobs are on already");
  act.to = std::move(*to);
  return act;
}

}  // namespace

Result<QueueAct> queue_act_from(const Request& request, QueueVerb verb, std::string_view queue) {
  const auto body = members_of(request, verb);
  if (!body) return body.error();
  QueueAct act;
  act.what = what_of(verb);
  act.queue = queue;
  const auto dry_run = flag_in(*body, "dry_run");
  if (!dry_run) return dry_run.error();
  auto by = text_in(*body, "by");
  if (!by) return by.error();
  auto note = text_in(*body, "note");
  if (!note) return note.error();
  act.dry_run = *dry_run;
  act.by = std::move(*by);
  act.note = std::move(*note);
  if (verb == QueueVerb::cancel) return with_what_is_cancelled(std::move(act), *body);
  if (verb == QueueVerb::move) return with_where_to(std::move(act), *body);
  return act;
}

json::Json outcome_form(const QueueActOutcome& outcome, bool personal) {
  json::Json jobs = json::Json::array();
  for (const auto& acted : outcome.jobs) {
    auto form = json::job_form(acted.job, personal);
    form["done"] = acted.done;
    form["trouble"] = acted.trouble;
    jobs.push_back(std::move(form));
  }
  return {{"what", to_text(outcome.act.what)},
          {"queue", outcome.act.queue},
          {"dry_run", outcome.act.dry_run},
          {"jobs", std::move(jobs)},
          {"said", outcome.said},
          {"afterwards", outcome.afterwards},
          {"personal", personal}};
}

std::string audit_detail_of(const QueueActOutcome& outcome) {
  constexpr std::size_t kMostIds = 100;
  json::Json done = json::Json::array();
  json::Json left = json::Json::array();
  for (const auto& acted : outcome.jobs) {
    auto& list = acted.done ? done : left;
    if (list.size() < kMostIds) list.push_back(acted.job.id);
  }
  json::Json detail = {{"what", to_text(outcome.act.what)},
                       {"dry_run", outcome.act.dry_run},
                       {"said", outcome.said},
                       {"afterwards", outcome.afterwards}};
  if (!outcome.jobs.empty()) {
    detail["jobs"] = outcome.jobs.size();
    detail["done"] = std::move(done);
    detail["left"] = std::move(left);
  }
  if (!outcome.act.to.empty()) detail["to"] = outcome.act.to;
  if (!outcome.act.by.empty()) detail["by"] = outcome.act.by;
  if (!outcome.act.note.empty()) detail["note"] = outcome.act.note;
  return json::text_of(detail);
}

}  // namespace frisket::http
