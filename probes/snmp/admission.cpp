#include "probes/snmp/admission.h"

#include <algorithm>

namespace frisket::snmp {

std::uint64_t subnet_of(const boost::asio::ip::udp::endpoint& peer) {
  const auto address = peer.address();
  if (address.is_v4()) return address.to_v4().to_uint() >> 8U;
  std::uint64_t prefix = 0;
  const auto octets = address.to_v6().to_bytes();
  for (std::size_t i = 0; i < 8; ++i) prefix = prefix << 8U | octets[i];
  // No IPv6 network in use begins with eight zero bits and ends in few (RFC 4291): the two do not meet.
  return prefix | std::uint64_t{1} << 63U;
}

void Admission::wait(Waiter who, std::uint64_t subnet) {
  auto& lane = lanes_[subnet];
  lane.waiting.push_back(who);
  if (lane.in_turn) return;
  lane.in_turn = true;
  turns_.push_back(subnet);
}

Admission::Waiter Admission::admit(const Limits& limits) {
  while (outstanding_ < limits.in_all && !turns_.empty()) {
    const auto subnet = turns_.front();
    turns_.pop_front();
    auto& lane = lanes_.at(subnet);
    lane.in_turn = false;
    if (lane.waiting.empty()) {
      forget_if_idle(subnet);
      continue;
    }
    if (lane.outstanding >= limits.per_subnet) continue;  // leave() brings it back
    const auto who = lane.waiting.front();
    lane.waiting.pop_front();
    ++lane.outstanding;
    ++outstanding_;
    if (!lane.waiting.empty()) {
      lane.in_turn = true;
      turns_.push_back(subnet);
    }
    return who;
  }
  return nullptr;
}

void Admission::leave(std::uint64_t subnet) {
  auto& lane = lanes_.at(subnet);
  --lane.outstanding;
  --outstanding_;
  if (!lane.waiting.empty() && !lane.in_turn) {
    lane.in_turn = true;
    turns_.push_back(subnet);
  }
  forget_if_idle(subnet);
}

bool Admission::give_up(Waiter who, std::uint64_t subnet) {
  const auto lane = lanes_.find(subnet);
  if (lane == lanes_.end()) return false;
  auto& waiting = lane->second.waiting;
  const auto place = std::ranges::find(waiting, who);
  if (place == waiting.end()) return false;
  waiting.erase(place);
  forget_if_idle(subnet);
  return true;
}

Admission::Waiter Admission::take_any() {
  for (auto& [subnet, lane] : lanes_) {
    if (lane.waiting.empty()) continue;
    const auto who = lane.waiting.front();
    lane.waiting.pop_front();
    return who;
  }
  return nullptr;
}

// One that is in turn is forgotten when its turn comes.
void Admission::forget_if_idle(std::uint64_t subnet) {
  const auto lane = lanes_.find(subnet);
  if (lane->second.outstanding == 0 && lane->second.waiting.empty() && !lane->second.in_turn) lanes_.erase(lane);
}

}  // namespace frisket::snmp
