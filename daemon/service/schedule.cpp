#include "daemon/service/schedule.h"

#include <algorithm>

namespace frisket::service {
namespace {

// 4,000 devices begin in each second: a full picture of a large fleet within seconds,
// without a burst that a switch or a receive buffer would drop.
constexpr auto kBetweenFirstPolls = std::chrono::microseconds{250};

// FNV-1a (public domain; D. Eastlake et al., "The FNV Non-Cryptographic Hash Algorithm").
// Only spreads phases: an even spread is all that is asked of it.
std::uint64_t spread(std::string_view text) {
  std::uint64_t hash = 14695981039346656037ULL;
  for (const char letter : text) {
    hash ^= static_cast<unsigned char>(letter);
    hash *= 1099511628211ULL;
  }
  // The low bits of FNV of short, similar names are poor; fold the high ones in.
  return hash ^ (hash >> 32);
}

}  // namespace

Span first_delay(std::size_t number) { return static_cast<std::int64_t>(number) * kBetweenFirstPolls; }

Pace pace_for(const incidents::DeviceStatus& status) {
  if (status.state == incidents::DeviceState::silent) return Pace::silent;
  if (status.state == incidents::DeviceState::stopped) return Pace::attention;
  const auto presses = [](const incidents::Condition& condition) {
    return condition.severity >= model::Severity::major || condition.subunit.kind == model::Subunit::Kind::cover;
  };
  return std::ranges::any_of(status.conditions, presses) ? Pace::attention : Pace::usual;
}

Span interval_of(const config::Device& device, Pace pace) {
  switch (pace) {
    case Pace::attention:
      return device.attention_interval;
    case Pace::silent:
      return device.silent_interval;
    case Pace::usual:
      break;
  }
  return device.poll_interval;
}

Beat beat_of(std::string_view device, Span interval) {
  const auto width = std::max<std::int64_t>(interval.count(), 1);
  return {Span{width}, Span{static_cast<std::int64_t>(spread(device) % static_cast<std::uint64_t>(width))}};
}

model::SteadyTime next_due(const Beat& beat, model::SteadyTime last_start, model::SteadyTime now) {
  const auto earliest = std::max(now, last_start + beat.interval / 2);
  const auto since_phase = (earliest - model::SteadyTime{}) - beat.phase;
  auto beats = since_phase / beat.interval;  // towards zero: for a negative span that is already up
  if (since_phase % beat.interval > Span{0}) ++beats;
  auto due = model::SteadyTime{} + beat.phase + beats * beat.interval;
  if (due <= now) due += beat.interval;
  return due;
}

}  // namespace frisket::service
