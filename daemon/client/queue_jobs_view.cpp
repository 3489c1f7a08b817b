// Lists of jobs, and what came of an act on them.
#include "daemon/client/queue_views.h"
#include "daemon/client/queue_words.h"
#include "daemon/client/table.h"
#include "daemon/client/view_parts.h"
#include "daemon/client/words.h"

namespace frisket::client {
namespace {

constexpr std::size_t kWhole = Column::kWhole;

// What came of a job; of a dry run nothing did.
std::string done_words(const QueueOutcome& outcome, const ActedJob& acted) {
  if (!acted.trouble.empty()) return "not done: " + acted.trouble;
  return acted.done && !outcome.dry_run ? "done" : "";
}

}  // namespace

std::string queue_jobs_screen(const QueueJobs& jobs, const Screen& screen) {
  if (!jobs.known) return paragraph("", "The queue does not list its jobs.", screen);
  if (jobs.jobs.empty()) return paragraph("", "No job is in the queue.", screen);
  Rows rows;
  for (const Job& each : jobs.jobs)
    rows.push_back({{plain(each.id)},
                    {each.state},
                    {seconds_words(each.age_seconds)},
                    {pages_words(each)},
                    {size_words(each)},
                    {each.owner},
                    {each.name},
                    {joined(each.reasons, ", ")}});
  std::string out = fitted_table({{"JOB", kWhole},
                                  {"STATE", kWhole},
                                  {"AGE", kWhole},
                                  {"PAGES", kWhole, 2},
                                  {"SIZE", kWhole, 3},
                                  {"OWNER", 8},
                                  {"NAME", 10},
                                  {"WHY", 10, 1}},
                                 rows, screen.width, screen.colour);
  if (!jobs.personal) out += paragraph("", "The daemon withholds names and owners from this connection.", screen);
  return out;
}

std::string queue_jobs_lines(const QueueJobs& jobs) {
  std::vector<std::vector<std::string>> rows;
  rows.reserve(jobs.jobs.size());
  for (const Job& each : jobs.jobs)
    rows.push_back({plain(each.id), each.state, joined(each.reasons, ","), plain(each.age_seconds),
                    plain(each.processing_seconds), plain(each.k_octets), plain(each.impressions),
                    plain(each.impressions_completed), plain(each.priority), each.name, each.owner});
  return tab_separated({"id", "state", "reasons", "age_seconds", "processing_seconds", "k_octets", "impressions",
                        "impressions_completed", "priority", "name", "owner"},
                       rows);
}

std::string queue_outcome_screen(const QueueOutcome& outcome, const Screen& screen) {
  std::string out = paragraph(outcome.dry_run ? "Nothing is done yet. " : "", outcome.said, screen);
  Rows rows;
  for (const ActedJob& each : outcome.jobs)
    rows.push_back({{plain(each.job.id)},
                    {each.job.state},
                    {seconds_words(each.job.age_seconds)},
                    {size_words(each.job)},
                    {each.job.owner},
                    {each.job.name},
                    {done_words(outcome, each), each.trouble.empty() ? Tone::plain : Tone::major}});
  out += fitted_table({{"JOB", kWhole},
                       {"STATE", kWhole, 1},
                       {"AGE", kWhole},
                       {"SIZE", kWhole, 2},
                       {"OWNER", 8},
                       {"NAME", 10},
                       {"DONE", 10}},
                      rows, screen.width, screen.colour, 2);
  return outcome.afterwards.empty() ? out : out + paragraph("", outcome.afterwards, screen);
}

std::string queue_outcome_lines(const QueueOutcome& outcome) {
  Lines lines = {{"act", "what", outcome.what},
                 {"act", "queue", outcome.queue},
                 {"act", "dry_run", outcome.dry_run ? "true" : "false"},
                 {"act", "said", outcome.said},
                 {"act", "afterwards", outcome.afterwards}};
  for (const ActedJob& each : outcome.jobs) {
    const std::string about = "job:" + plain(each.job.id);
    lines.push_back({about, "state", each.job.state});
    lines.push_back({about, "age_seconds", plain(each.job.age_seconds)});
    lines.push_back({about, "k_octets", plain(each.job.k_octets)});
    lines.push_back({about, "name", each.job.name});
    lines.push_back({about, "owner", each.job.owner});
    lines.push_back({about, "done", each.done ? "true" : "false"});
    lines.push_back({about, "trouble", each.trouble});
  }
  return tab_separated({"about", "field", "value"}, lines);
}

}  // namespace frisket::client
