#include "daemon/client/queue_views.h"
#include "daemon/client/queue_words.h"
#include "daemon/client/table.h"
#include "daemon/client/view_parts.h"
#include "daemon/client/words.h"

namespace frisket::client {
namespace {

constexpr std::size_t kWhole = Column::kWhole;

std::string with_label(const char* label, const std::string& value) {
  return value.empty() ? "" : std::string(label) + ' ' + value;
}

std::string head_words(const Job& job) {
  const std::string processing = seconds_words(job.processing_seconds);
  return joined({"job " + plain(job.id), job.state, processing.empty() ? "" : "for " + processing, pages_words(job),
                 size_words(job)},
                ", ");
}

std::string about_the_queue(const Queue& queue, const Screen& screen) {
  std::string out = labelled("Says", queue_says(queue), screen);
  out += labelled("Waiting", waiting_words(queue), screen);
  if (queue.head) out += labelled("Next", head_words(*queue.head), screen);
  out += labelled("Prints on", queue.device, screen);
  out += labelled("Where", joined({queue.location, with_label("site", queue.site)}, ", "), screen);
  out += labelled("Driver", queue.make_and_model, screen);
  out +=
      labelled("What for", joined({queue.info, queue.is_default.value_or(false) ? "the default" : ""}, ", "), screen);
  out += labelled("Spooler", joined({queue.spooler, queue.uri}, ", "), screen);
  out += labelled("Sends to", queue.device_uri, screen);
  return out + labelled("Last read", last_read_words(queue.last_reading_at, screen), screen);
}

void job_lines(Lines& lines, const std::string& about, const Job& job) {
  lines.push_back({about, "id", plain(job.id)});
  lines.push_back({about, "state", job.state});
  lines.push_back({about, "reasons", joined(job.reasons, ",")});
  lines.push_back({about, "age_seconds", plain(job.age_seconds)});
  lines.push_back({about, "processing_seconds", plain(job.processing_seconds)});
  lines.push_back({about, "k_octets", plain(job.k_octets)});
  lines.push_back({about, "impressions", plain(job.impressions)});
  lines.push_back({about, "impressions_completed", plain(job.impressions_completed)});
}

}  // namespace

std::string queues_screen(const std::vector<Queue>& queues, const Screen& screen) {
  if (queues.empty()) return paragraph("", "No such queue is watched.", screen);
  Rows rows;
  for (const Queue& each : queues)
    rows.push_back({{each.name},
                    {queue_state_words(each), tone_of_queue_state(each.state)},
                    {waiting_words(each)},
                    {each.device},
                    {each.site},
                    {queue_says(each)}});
  return fitted_table(
      {{"QUEUE", kWhole}, {"STATE", kWhole}, {"WAITING", 14}, {"DEVICE", 10, 1}, {"SITE", 10, 2}, {"SAYS", 18}}, rows,
      screen.width, screen.colour);
}

std::string queues_lines(const std::vector<Queue>& queues) {
  std::vector<std::vector<std::string>> rows;
  rows.reserve(queues.size());
  for (const Queue& each : queues)
    rows.push_back({each.name, each.state, each.site, each.device, each.spooler, plain(each.accepting),
                    plain(each.queued), plain(each.waiting), plain(each.held), plain(each.oldest_waiting_seconds),
                    plain(each.last_reading_at), reasons_words(each, ","), each.message});
  return tab_separated({"name", "state", "site", "device", "spooler", "accepting", "queued", "waiting", "held",
                        "oldest_waiting_seconds", "last_reading_at", "reasons", "message"},
                       rows);
}

std::string queue_screen(const Queue& queue, std::vector<Incident> open, const Screen& screen) {
  return paragraph(queue.name + ": ", queue_state_words(queue), screen, tone_of_queue_state(queue.state)) +
         about_the_queue(queue, screen) + conditions_part(queue.conditions, screen) +
         open_incidents_part(std::move(open), screen);
}

std::string queue_lines(const Queue& queue, std::vector<Incident> open) {
  Lines lines = {{"queue", "name", queue.name},
                 {"queue", "state", queue.state},
                 {"queue", "detail", queue.detail},
                 {"queue", "site", queue.site},
                 {"queue", "device", queue.device},
                 {"queue", "spooler", queue.spooler},
                 {"queue", "uri", queue.uri},
                 {"queue", "accepting", plain(queue.accepting)},
                 {"queue", "reasons", reasons_words(queue, ",")},
                 {"queue", "message", queue.message},
                 {"queue", "make_and_model", queue.make_and_model},
                 {"queue", "location", queue.location},
                 {"queue", "info", queue.info},
                 {"queue", "default", plain(queue.is_default)},
                 {"queue", "device_uri", queue.device_uri},
                 {"queue", "document_formats", joined(queue.document_formats, ",")},
                 {"queue", "last_reading_at", plain(queue.last_reading_at)},
                 {"jobs", "known", plain(queue.jobs_known)},
                 {"jobs", "queued", plain(queue.queued)},
                 {"jobs", "waiting", plain(queue.waiting)},
                 {"jobs", "held", plain(queue.held)},
                 {"jobs", "oldest_waiting_seconds", plain(queue.oldest_waiting_seconds)}};
  if (queue.head) job_lines(lines, "head", *queue.head);
  condition_lines(lines, queue.conditions);
  open_incident_lines(lines, std::move(open));
  return tab_separated({"about", "field", "value"}, lines);
}

}  // namespace frisket::client
