// A print service with a few queues, and the device behind one of them, for the tests of queue incidents. Invented.
#pragma once

#include <algorithm>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include "fixtures.h"

namespace frisket::incidents::testing {

using model::Job;
using model::JobState;
using model::PrinterState;
using model::QueueReach;
using model::QueueSnapshot;
using model::StateReason;

inline model::IppTarget target(const std::string& uri) { return model::ipp_target_of(uri).value(); }

// The spooler "office", the queue "seeds" behind it that prints on herbarium-copier, and "moss" that prints on
// nothing that is known.
inline config::Config office() {
  auto config = one_device();
  config.devices[0].address = "192.0.2.10";
  config.devices[0].location = "Herbarium, first floor";
  config::Spooler spooler;
  spooler.name = "office";
  spooler.target = target("ipp://print.example.org/");
  spooler.site = "glasshouse";
  config.spoolers = {spooler};
  for (const auto* name : {"seeds", "moss"}) {
    config::Queue queue;
    queue.name = name;
    queue.target = target("ipp://print.example.org/printers/" + std::string(name));
    queue.site = "glasshouse";
    if (queue.name == "seeds") queue.device = "herbarium-copier";
    config.queues.push_back(queue);
  }
  return config;
}

// Idle, taking jobs, with none.
inline QueueSnapshot idle_queue(const std::string& name) {
  QueueSnapshot queue;
  queue.uri = "ipp://print.example.org/printers/" + name;
  queue.name = name;
  queue.state = PrinterState::idle;
  queue.accepting = true;
  queue.jobs_known = true;
  queue.up_time = model::Seconds{100'000};
  return queue;
}

inline Job job(std::int32_t id, JobState state, std::chrono::seconds age, std::vector<std::string> reasons = {}) {
  Job made;
  made.id = id;
  made.state = state;
  made.age = age;
  if (state == JobState::processing) made.processing_for = age;
  made.reasons = std::move(reasons);
  made.k_octets = 12;
  made.personal = {"salaries.pdf", "fern"};
  return made;
}

inline QueueSnapshot printing(const std::string& name, std::chrono::seconds processing_for) {
  auto queue = idle_queue(name);
  queue.state = PrinterState::processing;
  queue.jobs = {job(7, JobState::processing, processing_for, {"job-printing"})};
  return queue;
}

inline QueueSnapshot stopped(const std::string& name, std::vector<StateReason> reasons) {
  auto queue = idle_queue(name);
  queue.state = PrinterState::stopped;
  queue.reasons = std::move(reasons);
  return queue;
}

inline model::SpoolerReading pass(WallTime at, std::vector<QueueSnapshot> queues) {
  model::SpoolerReading reading;
  reading.spooler = "office";
  reading.at = at;
  reading.reach = QueueReach::answered;
  for (auto& queue : queues) reading.queues.push_back(std::make_shared<const QueueSnapshot>(std::move(queue)));
  return reading;
}

inline model::SpoolerReading no_pass(WallTime at, QueueReach reach = QueueReach::silent) {
  model::SpoolerReading reading;
  reading.spooler = "office";
  reading.at = at;
  reading.reach = reach;
  reading.detail = "no answer";
  return reading;
}

// "job-stuck seeds", "device-silent herbarium-copier", "spooler-silent office", in order of these words.
inline std::vector<std::string> open_problems(const Correlator& correlator) {
  std::vector<std::string> words;
  for (const auto* incident : correlator.incidents())
    if (incident->state == Incident::State::raised)
      words.push_back(incident->kind + " " + incident->queue.value_or(incident->device.value_or(incident->place)));
  std::ranges::sort(words);
  return words;
}

inline const Incident& only_open(const Correlator& correlator) {
  const Incident* found = nullptr;
  for (const auto* incident : correlator.incidents())
    if (incident->state == Incident::State::raised) {
      if (found != nullptr) throw std::runtime_error("more than one incident is raised");
      found = incident;
    }
  if (found == nullptr) throw std::runtime_error("no incident is raised");
  return *found;
}

inline model::DeviceSnapshot jammed() {
  auto snapshot = healthy();
  snapshot.alerts = {alert(model::AlertSeverity::critical, model::AlertGroup::media_path, 1, model::AlertCode::jam)};
  return snapshot;
}

inline bool has_evidence(const Incident& incident, std::string_view keyword) {
  return std::ranges::any_of(incident.evidence,
                             [&](const Condition& condition) { return condition.keyword == keyword; });
}

}  // namespace frisket::incidents::testing
