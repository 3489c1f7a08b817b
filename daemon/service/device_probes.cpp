#include "daemon/service/device_probes.h"

#include "probes/model/merged.h"

namespace frisket::service {

namespace asio = boost::asio;
using model::DeviceReading;
using model::DeviceSnapshot;
using model::Reach;

asio::awaitable<DeviceReading> SameAgain::poll() {
  auto reading = co_await probe_->poll();
  if (!reading.snapshot) co_return reading;
  if (last_ && *last_ == *reading.snapshot)
    reading.snapshot = last_;
  else
    last_ = reading.snapshot;
  co_return reading;
}

asio::awaitable<DeviceReading> BothWays::poll() {
  auto first = co_await first_->poll();
  auto second = co_await second_->poll();
  first_missed_ = first.reach == Reach::answered ? 0 : first_missed_ + 1;
  second_missed_ = second.reach == Reach::answered ? 0 : second_missed_ + 1;
  if (first_missed_ == 0) co_return both(std::move(first), std::move(second));
  if (first_missed_ >= enough_ && second_missed_ == 0) co_return second_alone(first, std::move(second));
  co_return first;
}

DeviceReading BothWays::both(DeviceReading first, DeviceReading second) {
  first.at = std::max(first.at, second.at);
  // What it last said goes on filling the gaps for a while; rows must not come and go with every lost answer.
  auto filling = second_missed_ == 0 ? second.snapshot : second_missed_ < enough_ ? of_second_ : nullptr;
  if (!filling || !first.snapshot) {
    of_second_.reset();
    return first;
  }
  if (first.snapshot != of_first_ || filling != of_second_ || !mute_.empty()) {
    merged_ = std::make_shared<const DeviceSnapshot>(model::merged(*first.snapshot, *filling));
    of_first_ = first.snapshot;
    of_second_ = std::move(filling);
    mute_.clear();
  }
  first.snapshot = merged_;
  return first;
}

DeviceReading BothWays::second_alone(const DeviceReading& first, DeviceReading second) {
  if (second.snapshot != of_second_ || mute_ != first.detail || of_first_) {
    auto alone = *second.snapshot;
    alone.gaps.push_back("SNMP: " + first.detail);
    of_first_.reset();
    of_second_ = second.snapshot;
    mute_ = first.detail;
    merged_ = std::make_shared<const DeviceSnapshot>(std::move(alone));
  }
  second.snapshot = merged_;
  return second;
}

}  // namespace frisket::service
