#include "probes/model/queue.h"

#include <algorithm>
#include <array>

namespace frisket::model {
namespace {

constexpr std::array kPrinterState = {EnumName{3, "idle"}, EnumName{4, "processing"}, EnumName{5, "stopped"}};

constexpr std::array kJobState = {
    EnumName{3, "pending"},  EnumName{4, "pending-held"}, EnumName{5, "processing"}, EnumName{6, "processing-stopped"},
    EnumName{7, "canceled"}, EnumName{8, "aborted"},      EnumName{9, "completed"}};

}  // namespace

template <>
std::span<const EnumName> listed<PrinterState>() {
  return kPrinterState;
}
template <>
std::span<const EnumName> listed<JobState>() {
  return kJobState;
}

bool is_over(JobState state) {
  return state == JobState::canceled || state == JobState::aborted || state == JobState::completed;
}

std::string_view to_text(StateReason::Mark mark) {
  switch (mark) {
    case StateReason::Mark::none:
      return "";
    case StateReason::Mark::report:
      return "report";
    case StateReason::Mark::warning:
      return "warning";
    case StateReason::Mark::error:
      return "error";
  }
  return "";
}

StateReason::Mark effective_mark(const StateReason& reason, PrinterState state) {
  if (reason.mark != StateReason::Mark::none) return reason.mark;
  return state == PrinterState::stopped ? StateReason::Mark::error : StateReason::Mark::warning;
}

bool Job::has_reason(std::string_view keyword) const { return std::ranges::find(reasons, keyword) != reasons.end(); }

bool QueueSnapshot::has_reason(std::string_view keyword) const {
  return std::ranges::find(reasons, keyword, &StateReason::keyword) != reasons.end();
}

const Job* QueueSnapshot::head_job() const {
  const auto processing = std::ranges::find_if(jobs, [](const Job& job) {
    return job.state == JobState::processing || job.state == JobState::processing_stopped;
  });
  if (processing != jobs.end()) return &*processing;
  const auto pending = std::ranges::find(jobs, JobState::pending, &Job::state);
  return pending != jobs.end() ? &*pending : nullptr;
}

std::size_t QueueSnapshot::waiting() const {
  return static_cast<std::size_t>(std::ranges::count(jobs, JobState::pending, &Job::state));
}

std::size_t QueueSnapshot::held() const {
  return static_cast<std::size_t>(std::ranges::count(jobs, JobState::pending_held, &Job::state));
}

std::string_view to_text(QueueReach reach) {
  switch (reach) {
    case QueueReach::answered:
      return "answered";
    case QueueReach::absent:
      return "absent";
    case QueueReach::silent:
      return "silent";
    case QueueReach::refused:
      return "refused";
    case QueueReach::nonsense:
      return "nonsense";
  }
  return "unknown";
}

}  // namespace frisket::model
