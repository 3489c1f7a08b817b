#include "daemon/service/poll_limiter.h"

#include <algorithm>

namespace frisket::service {

using model::SteadyTime;
using namespace std::chrono_literals;

namespace {

// What the bucket holds, in time.
constexpr SteadyTime::duration kDepth = 1s;

}  // namespace

PollLimiter::PollLimiter(model::Milliseconds min_interval, int per_second)
    : min_interval_(min_interval), spacing_(SteadyTime::duration(1s) / std::max(per_second, 1)) {}

bool PollLimiter::room(SteadyTime now) const { return full_at_ + spacing_ <= now + kDepth; }

void PollLimiter::spend(Device& device, SteadyTime now) {
  full_at_ = std::max(full_at_, now) + spacing_;
  device.free_at = now + min_interval_;
}

PollLimiter::Answer PollLimiter::ask(const std::string& name, SteadyTime now) {
  auto& device = devices_[name];
  if (device.waiting) return Answer::already;
  // Whoever waits for the rate goes first.
  const bool in_turn = line_.empty() || line_.begin()->first.first > now;
  if (device.free_at <= now && in_turn && room(now)) {
    spend(device, now);
    return Answer::now;
  }
  device.waiting = true;
  line_.emplace(Place{std::max(device.free_at, now), asked_++}, name);
  return Answer::later;
}

std::vector<std::string> PollLimiter::take_due(SteadyTime now) {
  std::vector<std::string> due;
  while (!line_.empty() && line_.begin()->first.first <= now && room(now)) {
    auto name = std::move(line_.extract(line_.begin()).mapped());
    auto& device = devices_[name];
    device.waiting = false;
    spend(device, now);
    due.push_back(std::move(name));
  }
  return due;
}

std::optional<SteadyTime> PollLimiter::next_due() const {
  if (line_.empty()) return std::nullopt;
  return std::max(line_.begin()->first.first, full_at_ + spacing_ - kDepth);
}

void PollLimiter::keep_only(const std::set<std::string>& names) {
  std::erase_if(devices_, [&](const auto& entry) { return !names.contains(entry.first); });
  std::erase_if(line_, [&](const auto& entry) { return !names.contains(entry.second); });
}

}  // namespace frisket::service
