#include "daemon/http/queue_entry.h"

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
  // The usual poll of an idle queue brings nothing new but its time.
  if (only_time && status.last_reading_at && form_.set_last_reading(*status.last_reading_at)) return changed;
  stale_ = true;
  revision_ = revisions_.next();
  return changed;
}

const KeptForm& QueueEntry::form() const {
  if (stale_) form_ = KeptForm(json::queue_form(status_));
  stale_ = false;
  return form_;
}

}  // namespace frisket::http
