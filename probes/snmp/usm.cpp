#include "probes/snmp/usm.h"

#include <algorithm>
#include <chrono>
#include <limits>
#include <utility>

namespace frisket::snmp {

namespace {
constexpr std::int64_t kLatestTime = std::numeric_limits<std::int32_t>::max();  // RFC 3414 section 2.2.2
}

void UsmPeer::meet(UsmEngine engine) { engine_ = std::make_unique<UsmEngine>(std::move(engine)); }

void UsmPeer::heard(std::uint32_t boots, std::uint32_t time, model::SteadyTime now) {
  if (!engine_) return;
  const bool later = !engine_->authentic || boots > engine_->boots || (boots == engine_->boots && time > engine_->time);
  if (!later) return;
  engine_->boots = boots;
  engine_->time = time;
  engine_->received = now;
  engine_->authentic = true;
}

std::uint32_t time_at(const UsmEngine& engine, model::SteadyTime now) {
  const auto passed = std::chrono::duration_cast<std::chrono::seconds>(now - engine.received).count();
  const auto time = static_cast<std::int64_t>(engine.time) + std::max<std::int64_t>(passed, 0);
  return static_cast<std::uint32_t>(std::min(time, kLatestTime));
}

}  // namespace frisket::snmp
