#include "daemon/service/automatic_cures.h"

#include <algorithm>

namespace frisket::service {
namespace {

using http::QueueAct;
using incidents::Incident;
using model::AuditRecord;

constexpr std::chrono::hours kDay{24};
constexpr std::string_view kStopped = "queue-stopped";
constexpr std::string_view kStuck = "job-stuck";

bool is_of(const AuditRecord& record, const config::Queue& queue) {
  return record.who == kAutomatic && record.peer == kAutomaticPeer && record.target == queue.name;
}

// Of a job whose age nobody tells it is not known that it is old enough.
bool is_old_enough(const model::Job& job, const config::Queue& queue) {
  return job.age && *job.age >= queue.automatic.job_age;
}

// Whether it is so now. What leads the incident may be what the queue says of its device: a jam that stopped it.
bool has(const Incident& incident, std::string_view kind) {
  return std::ranges::any_of(incident.evidence, [&](const auto& condition) { return condition.keyword == kind; });
}

bool cures(const config::Queue& queue, const Incident& incident, std::string_view kind) {
  return std::ranges::find(queue.automatic.kinds, kind) != queue.automatic.kinds.end() && has(incident, kind);
}

}  // namespace

bool may_be_cured(const config::Queue& queue, const Incident& incident) {
  if (incident.queue != queue.name || incident.state != Incident::State::raised) return false;
  // Somebody has taken it on, or wants to hear nothing of it.
  if (incident.operator_state != incidents::OperatorState::none) return false;
  return cures(queue, incident, kStopped) || cures(queue, incident, kStuck);
}

std::optional<QueueAct> automatic_cure(const config::Queue& queue, const Incident& incident,
                                       const incidents::QueueStatus& status, std::span<const AuditRecord> done,
                                       model::WallTime now) {
  if (!may_be_cured(queue, incident) || !status.snapshot) return std::nullopt;
  int today = 0;
  for (const auto& record : done) {
    if (!is_of(record, queue) || now - record.at >= kDay) continue;
    if (now - record.at < kBetweenCures) return std::nullopt;
    ++today;
  }
  if (today >= queue.automatic.per_day) return std::nullopt;
  QueueAct act;
  act.queue = queue.name;
  act.by = kAutomatic;
  act.note = "incident " + incident.id;
  if (cures(queue, incident, kStopped)) {
    act.what = QueueAct::What::resume;
    return act;
  }
  const auto* head = status.snapshot->head_job();
  if (head == nullptr || !is_old_enough(*head, queue)) return std::nullopt;
  act.what = QueueAct::What::cancel_job;
  act.job = head->id;
  return act;
}

}  // namespace frisket::service
