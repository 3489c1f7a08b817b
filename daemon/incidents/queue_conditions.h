// What one reading of a print queue says is so.
//
// A queue's reasons never say that its device is dead (they stay as they were, and the job stays "processing"): only a
// job that gets no further while the device does not print does. So the device's own state goes in beside the queue.
// What the queue says of a device that is known by itself is left to the device: it knows better, and earlier.
// RFC 8011 sections 5.3.7, 5.3.8 and 5.4.11 to 5.4.13. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "config/config.h"
#include "daemon/incidents/correlator.h"
#include "probes/model/queue.h"

namespace frisket::incidents {

// How far the job at the head had got, and since when it has got no further.
struct HeadProgress {
  std::int32_t job = 0;
  std::int64_t done = 0;  // impressions and sheets, of the job and of the device
  WallTime since;
  friend bool operator==(const HeadProgress&, const HeadProgress&) = default;
};

// From one reading to the next.
struct QueueMemory {
  std::optional<HeadProgress> head;
  std::vector<Condition> conditions;  // of the last reading
  int absent = 0;                     // passes in a row in which the spooler had no such queue
};

struct QueueView {
  const std::string& name;
  const model::QueueSnapshot& queue;
  const DeviceStatus* device;  // that it prints on; null: not known
  const config::Rules& rules;
  WallTime at;
};

// In order of keyword. `head` is what is to be remembered; `since` of the conditions comes from `before`.
std::vector<Condition> conditions_of_queue(const QueueView& view, const QueueMemory& before,
                                           std::optional<HeadProgress>& head);

// A condition of that kind at the queue, said by the queue itself.
Condition queue_condition(std::string_view keyword, const std::string& queue, WallTime since, std::string says);

void keep_since(std::vector<Condition>& conditions, const std::vector<Condition>& before);

// Whether jobs wait for the device, or one hangs on its way to it.
bool has_unfinished_jobs(const model::QueueSnapshot& queue);

// Conditions that only follow from what is wrong with the device.
bool follows_from_device(std::string_view keyword);

}  // namespace frisket::incidents
