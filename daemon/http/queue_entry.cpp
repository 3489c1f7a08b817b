#include "daemon/http/queue_entry.h"

#include <string_view>

#include "daemon/json/forms.h"

namespace frisket::http {
namespace {

using incidents::QueueStatus;
using model::QueueSnapshot;

bool same_but_for_the_snapshot(const QueueStatus& a, const QueueStatus& b) {
  return a.name == b.name && a.spooler == b.spooler && a.device == b.device && a.site == b.site && a.uri == b.uri &&
         a.reach == b.reach && a.detail == b.detail && a.conditions == b.conditions;
}

// Everything that the JSON shows.
QueueSnapshot shown(QueueSnapshot snapshot) {
  snapshot.up_time.reset();
  return snapshot;
}

// What a person looks at, as opposed to what moves all the time.
QueueSnapshot looked_at(QueueSnapshot snapshot) {
  snapshot.up_time.reset();
  for (auto& job : snapshot.jobs) {
    job.age.reset();
    job.processing_for.reset();
    job.impressions_completed.reset();
    job.media_sheets_completed.reset();
  }
  return snapshot;
}

bool same_snapshot(const QueueStatus& a, const QueueStatus& b, QueueSnapshot (*part)(QueueSnapshot)) {
  if (a.snapshot == b.snapshot) return true;
  return a.snapshot && b.snapshot && part(*a.snapshot) == part(*b.snapshot);
}

}  // namespace

bool QueueEntry::publish(const QueueStatus& status) {
  const bool same = published_ && same_but_for_the_snapshot(status, status_);
  const bool changed = !same || !same_snapshot(status, status_, looked_at);
  const bool only_time = !changed && !stale_ && same_snapshot(status, status_, shown);
  status_ = status;
  published_ = true;
  // The usual poll of an idle queue brings nothing new but its time, which always has the same length.
  if (only_time && time_place_ != 0 && status.last_reading_at) {
    const auto time = model::to_rfc3339(*status.last_reading_at);
    form_.replace(time_place_, time.size(), time);
  } else {
    stale_ = true;
    revision_ = revisions_.next();
  }
  return changed;
}

const std::string& QueueEntry::form() const {
  if (!stale_) return form_;
  form_ = json::text_of(json::queue_form(status_));
  time_place_ = 0;
  if (status_.last_reading_at) {
    // The first such key: texts cannot imitate it, since their quotes are escaped.
    constexpr std::string_view kKey = "\"last_reading_at\":\"";
    if (const auto place = form_.find(kKey); place != std::string::npos) time_place_ = place + kKey.size();
  }
  stale_ = false;
  return form_;
}

}  // namespace frisket::http
