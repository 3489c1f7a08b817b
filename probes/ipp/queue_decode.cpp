#include "probes/ipp/queue_decode.h"

#include <algorithm>

#include "probes/ipp/state_reasons.h"
#include "probes/ipp/target.h"

namespace frisket::ipp {
namespace {

using model::Seconds;

constexpr std::size_t kMaxFormats = 128;
constexpr std::size_t kMaxDeviceId = 1023;  // PWG 5107.2, from memory

// A bit of printer-type, which the spooler adds to RFC 8011: this queue is its default.
constexpr std::int32_t kDefaultQueueBit = 0x20000;

// Time since an instant on the printer's clock. 0 stands for an instant before its last restart
// (RFC 8011 section 5.3.14, from memory), and what lies ahead of the clock is no age.
std::optional<Seconds> since(std::optional<std::int32_t> then, std::optional<Seconds> now) {
  if (!then || !now || *then == 0 || now->count() < *then) return std::nullopt;
  return *now - Seconds(*then);
}

std::optional<std::int32_t> count_of(const Group& group, std::string_view name) {
  const auto value = group.integer(name);
  return value && *value >= 0 ? value : std::nullopt;
}

}  // namespace

std::vector<std::string> queue_attributes() {
  return {"printer-uri-supported",  "printer-name",
          "printer-state",          "printer-state-reasons",
          "printer-state-message",  "printer-is-accepting-jobs",
          "queued-job-count",       "printer-up-time",
          "printer-make-and-model", "printer-location",
          "printer-info",           "device-uri",
          "printer-type",           "document-format-supported",
          "printer-device-id"};
}

std::vector<std::string> job_attributes() {
  return {"job-id",
          "job-state",
          "job-state-reasons",
          "job-printer-uri",
          "job-printer-up-time",
          "time-at-creation",
          "time-at-processing",
          "job-k-octets",
          "job-impressions",
          "job-impressions-completed",
          "job-media-sheets-completed",
          "job-priority",
          "job-name",
          "job-originating-user-name"};
}

model::QueueSnapshot queue_from(const Group& printer) {
  model::QueueSnapshot queue;
  queue.uri = printer.text("printer-uri-supported", kMaxDeviceId);
  queue.name = printer.text("printer-name");
  if (const auto state = printer.integer("printer-state")) queue.state = static_cast<model::PrinterState>(*state);
  queue.reasons = state_reasons_of(printer.find("printer-state-reasons"));
  queue.message = printer.text("printer-state-message");
  queue.accepting = printer.boolean("printer-is-accepting-jobs");
  queue.queued_count = count_of(printer, "queued-job-count");
  if (const auto up = count_of(printer, "printer-up-time")) queue.up_time = Seconds(*up);
  queue.make_and_model = printer.text("printer-make-and-model");
  queue.location = printer.text("printer-location");
  queue.info = printer.text("printer-info");
  queue.device_uri = without_user(printer.text("device-uri", kMaxDeviceId));
  queue.is_default = (printer.integer("printer-type").value_or(0) & kDefaultQueueBit) != 0;
  queue.document_formats = printer.texts("document-format-supported");
  if (queue.document_formats.size() > kMaxFormats) {
    queue.document_formats.resize(kMaxFormats);
    queue.gaps.push_back("document formats: more than 128, the rest left out");
  }
  queue.device_id = printer.text("printer-device-id", kMaxDeviceId);
  return queue;
}

std::optional<model::Job> job_from(const Group& group, std::optional<Seconds> up_time) {
  const auto id = group.integer("job-id");
  const auto state = group.integer("job-state");
  if (!id || !state) return std::nullopt;
  model::Job job;
  job.id = *id;
  job.state = static_cast<model::JobState>(*state);
  job.reasons = job_reasons_of(group.find("job-state-reasons"));
  if (const auto now = group.integer("job-printer-up-time")) up_time = Seconds(*now);
  job.age = since(group.integer("time-at-creation"), up_time);
  job.processing_for = since(group.integer("time-at-processing"), up_time);
  job.k_octets = count_of(group, "job-k-octets");
  job.impressions = count_of(group, "job-impressions");
  job.impressions_completed = count_of(group, "job-impressions-completed");
  job.media_sheets_completed = count_of(group, "job-media-sheets-completed");
  job.priority = count_of(group, "job-priority");
  job.personal.name = group.text("job-name");
  job.personal.owner = group.text("job-originating-user-name");
  return job;
}

std::string path_of(std::string_view uri) {
  const auto authority = uri.find("//");
  if (authority == std::string_view::npos) return std::string(uri);
  const auto path = uri.find('/', authority + 2);
  return path == std::string_view::npos ? "/" : std::string(uri.substr(path));
}

}  // namespace frisket::ipp
