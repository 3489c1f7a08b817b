#include <algorithm>

#include "daemon/json/forms.h"
#include "daemon/json/values.h"

namespace frisket::json {
namespace {

Json seconds_or_null(const std::optional<model::Seconds>& span) { return span ? Json(span->count()) : Json(); }

Json reasons_form(const std::vector<model::StateReason>& reasons) {
  Json list = Json::array();
  for (const auto& reason : reasons) list.push_back({{"keyword", reason.keyword}, {"mark", to_text(reason.mark)}});
  return list;
}

// Everything of a job but what may tell who prints what.
Json job_facts(const model::Job& job) {
  return {{"id", job.id},
          {"state", model::label(job.state)},
          {"reasons", job.reasons},
          {"age_seconds", seconds_or_null(job.age)},
          {"processing_seconds", seconds_or_null(job.processing_for)},
          {"k_octets", or_null(job.k_octets)},
          {"impressions", or_null(job.impressions)},
          {"impressions_completed", or_null(job.impressions_completed)},
          {"priority", or_null(job.priority)}};
}

Json oldest_waiting(const model::QueueSnapshot& said) {
  std::optional<model::Seconds> oldest;
  for (const auto& job : said.jobs)
    if (job.state == model::JobState::pending && job.age) oldest = std::max(oldest, job.age);
  return seconds_or_null(oldest);
}

Json jobs_form(const model::QueueSnapshot& said) {
  const bool known = said.jobs_known;
  const auto* head = known ? said.head_job() : nullptr;
  return {{"known", known},
          {"queued", or_null(said.queued_count)},
          {"waiting", known ? Json(said.waiting()) : Json()},
          {"held", known ? Json(said.held()) : Json()},
          {"oldest_waiting_seconds", known ? oldest_waiting(said) : Json()},
          {"head", head == nullptr ? Json() : job_facts(*head)}};
}

}  // namespace

Json job_form(const model::Job& job, bool personal) {
  auto form = job_facts(job);
  form["name"] = personal ? text_or_null(job.personal.name) : Json();
  form["owner"] = personal ? text_or_null(job.personal.owner) : Json();
  return form;
}

Json queue_form(const incidents::QueueStatus& status) {
  static const model::QueueSnapshot kNothingSaid;
  const auto& said = status.snapshot ? *status.snapshot : kNothingSaid;
  Json conditions = Json::array();
  for (const auto& condition : status.conditions) conditions.push_back(condition_form(condition));

  Json form;
  form["name"] = status.name;
  form["spooler"] = text_or_null(status.spooler);
  form["device"] = text_or_null(status.device);
  form["site"] = status.site;
  form["uri"] = status.uri;
  form["read_only"] = !status.read_only.empty();
  form["state"] = state_word(status);
  form["reach"] = status.reach ? Json(to_text(*status.reach)) : Json();
  form["detail"] = status.detail;
  form["last_reading_at"] = time_or_null(status.last_reading_at);
  form["accepting"] = or_null(said.accepting);
  form["reasons"] = reasons_form(said.reasons);
  form["message"] = said.message;
  form["make_and_model"] = said.make_and_model;
  form["location"] = said.location;
  form["info"] = said.info;
  form["default"] = status.snapshot ? Json(said.is_default) : Json();
  form["device_uri"] = said.device_uri;
  form["document_formats"] = said.document_formats;
  form["jobs"] = jobs_form(said);
  form["conditions"] = std::move(conditions);
  form["gaps"] = said.gaps;
  return form;
}

Json queue_jobs_form(const incidents::QueueStatus& status, bool personal) {
  Json items = Json::array();
  if (status.snapshot)
    for (const auto& job : status.snapshot->jobs) items.push_back(job_form(job, personal));
  return {{"items", std::move(items)},
          {"next", nullptr},
          {"known", status.snapshot && status.snapshot->jobs_known},
          {"last_reading_at", time_or_null(status.last_reading_at)},
          {"personal", personal}};
}

}  // namespace frisket::json
