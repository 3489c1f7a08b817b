// The record of who changed what, as the HTTP service sees it. The service implements it. On the io_context's thread.
#pragma once

#include <functional>
#include <vector>

#include "probes/model/audit.h"
#include "probes/model/result.h"

namespace frisket::http {

class AuditTrail {
 public:
  virtual ~AuditTrail() = default;

  // Writes it down. `kept` may be empty; it is called once, when the record is kept or it is known that it cannot be at
  // the moment; maybe before record() returns; never if the daemon stops meanwhile.
  virtual void record(model::AuditRecord record, std::function<void()> kept) = 0;

  // `done` is called once with what the window shows, or with why it cannot be read; otherwise as `kept`.
  using Read = std::function<void(const model::Result<std::vector<model::AuditRecord>>&)>;
  virtual void read_audit(const model::AuditWindow& window, Read done) = 0;
};

}  // namespace frisket::http
