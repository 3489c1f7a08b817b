#include "daemon/client/queue_answers.h"

namespace frisket::client {
namespace {

Job job(const Fields& fields) {
  fields.require("id");
  Job out;
  out.id = fields.whole("id");
  out.state = fields.text("state");
  out.reasons = fields.texts("reasons");
  out.age_seconds = fields.whole("age_seconds");
  out.processing_seconds = fields.whole("processing_seconds");
  out.k_octets = fields.whole("k_octets");
  out.impressions = fields.whole("impressions");
  out.impressions_completed = fields.whole("impressions_completed");
  out.priority = fields.whole("priority");
  out.name = fields.text("name");
  out.owner = fields.text("owner");
  return out;
}

Queue queue(const Fields& fields) {
  fields.require("name");
  Queue out;
  out.name = fields.text("name");
  out.spooler = fields.text("spooler");
  out.device = fields.text("device");
  out.site = fields.text("site");
  out.uri = fields.text("uri");
  out.state = fields.text("state");
  out.detail = fields.text("detail");
  out.last_reading_at = fields.moment("last_reading_at");
  out.accepting = fields.flag("accepting");
  for (const Fields& each : fields.objects("reasons")) out.reasons.push_back({each.text("keyword"), each.text("mark")});
  out.message = fields.text("message");
  out.make_and_model = fields.text("make_and_model");
  out.location = fields.text("location");
  out.info = fields.text("info");
  out.is_default = fields.flag("default");
  out.device_uri = fields.text("device_uri");
  out.document_formats = fields.texts("document_formats");
  const Fields jobs = fields.object("jobs");
  out.jobs_known = jobs.flag("known");
  out.queued = jobs.whole("queued");
  out.waiting = jobs.whole("waiting");
  out.held = jobs.whole("held");
  out.oldest_waiting_seconds = jobs.whole("oldest_waiting_seconds");
  if (jobs.has("head")) out.head = job(jobs.object("head"));
  out.conditions = conditions_in(fields, "conditions");
  return out;
}

}  // namespace

Result<std::vector<Queue>> queues_from(const Json& list) { return items_of<Queue>(list, queue); }

Result<Queue> queue_from(const Json& answer) { return object_of<Queue>(answer, queue); }

Result<QueueJobs> queue_jobs_from(const Json& answer) {
  const auto jobs = items_of<Job>(answer, job);
  if (!jobs) return jobs.error();
  Shape shape;
  const Fields fields(answer, "", shape);
  return checked(QueueJobs{*jobs, fields.flag("known").value_or(false), fields.flag("personal").value_or(false)},
                 shape);
}

Result<QueueOutcome> queue_outcome_from(const Json& answer) {
  Shape shape;
  const Fields fields(answer, "", shape);
  fields.require("said");
  fields.require("dry_run");
  QueueOutcome out;
  out.what = fields.text("what");
  out.queue = fields.text("queue");
  out.dry_run = fields.flag("dry_run").value_or(false);
  for (const Fields& each : fields.objects("jobs"))
    out.jobs.push_back({job(each), each.flag("done").value_or(false), each.text("trouble")});
  out.said = fields.text("said");
  out.afterwards = fields.text("afterwards");
  return checked(std::move(out), shape);
}

}  // namespace frisket::client
