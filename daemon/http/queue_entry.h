// One print queue as the board keeps it: its status, and its JSON made when first asked for.
#pragma once

#include "daemon/http/kept_form.h"
#include "daemon/http/revisions.h"
#include "daemon/incidents/queue_status.h"

namespace frisket::http {

class QueueEntry {
 public:
  // The revisions must outlive the entry.
  explicit QueueEntry(Revisions& revisions) : revisions_(revisions) {}

  // Takes the status after a reading. True if anything but times, ages and counted pages differs from before, so that
  // somebody who looks at the queue wants to look again; always true the first time.
  bool publish(const incidents::QueueStatus& status);

  const incidents::QueueStatus& status() const { return status_; }

  // Of the form: it stays the same while nothing but the time of the last reading changes.
  std::uint64_t revision() const { return revision_; }

  // As GET /v1/queues/{name} gives it. Valid until the entry changes.
  const KeptForm& form() const;

 private:
  Revisions& revisions_;
  std::uint64_t revision_ = 0;
  incidents::QueueStatus status_;
  bool published_ = false;

  mutable bool stale_ = true;
  mutable KeptForm form_;
};

}  // namespace frisket::http
