// Print queues of the garden for the HTTP tests.
#pragma once

#include <memory>
#include <string>
#include <utility>

#include "daemon/incidents/queue_status.h"
#include "fixtures.h"

namespace frisket::testing {

inline model::Job job(std::int32_t id, model::JobState state = model::JobState::pending) {
  model::Job made;
  made.id = id;
  made.state = state;
  made.age = model::Seconds{60};
  made.personal = {"Payslip of " + std::to_string(id), "robin"};
  return made;
}

inline model::QueueSnapshot idle_queue() {
  model::QueueSnapshot said;
  said.state = model::PrinterState::idle;
  said.accepting = true;
  said.jobs_known = true;
  said.up_time = model::Seconds{1};
  return said;
}

inline incidents::QueueStatus queue(std::string name, model::QueueSnapshot said = idle_queue(),
                                    std::string site = "glasshouse", model::WallTime at = kEight) {
  incidents::QueueStatus status;
  status.name = std::move(name);
  status.site = std::move(site);
  status.uri = "ipp://127.0.0.1/printers/" + status.name;
  status.reach = model::QueueReach::answered;
  status.last_reading_at = at;
  status.snapshot = std::make_shared<const model::QueueSnapshot>(std::move(said));
  return status;
}

}  // namespace frisket::testing
