// How long this device usually takes to answer, and so how soon to ask it again.
//
// The estimator of RFC 6298 section 2 (smoothed round-trip time and its variation), fed only by
// answers to requests that were sent once (Karn's rule, section 3). A device on the same floor is
// asked again after a fraction of a second, one behind a slow line as late as configured: time-outs
// are never above the configured one, and the whole wait is as long as without an estimate, since
// a printer that wakes up is late once. A value: 8 octets a device. Pure.
#pragma once

#include <algorithm>
#include <chrono>
#include <cstdint>

#include "probes/model/time.h"

namespace frisket::snmp {

class RoundTrip {
 public:
  using Span = model::SteadyTime::duration;

  // A busy controller answers late now and then (common practice, no source).
  static constexpr std::chrono::milliseconds kLeast{250};

  void sample(Span took) {
    const auto us = static_cast<std::uint32_t>(
        std::clamp<std::int64_t>(std::chrono::duration_cast<std::chrono::microseconds>(took).count(), 1, 1U << 30U));
    if (smoothed_us_ == 0) {
      smoothed_us_ = us;
      variation_us_ = us / 2;
      return;
    }
    const auto off = smoothed_us_ > us ? smoothed_us_ - us : us - smoothed_us_;
    variation_us_ = static_cast<std::uint32_t>((3 * std::uint64_t{variation_us_} + off) / 4);
    smoothed_us_ = static_cast<std::uint32_t>((7 * std::uint64_t{smoothed_us_} + us) / 8);
  }

  // Of the first attempt (Patience::first).
  Span timeout(Span configured) const {
    if (smoothed_us_ == 0) return configured;
    const Span estimate = std::chrono::microseconds(smoothed_us_ + 4 * std::uint64_t{variation_us_});
    return std::min<Span>(configured, std::max<Span>(estimate, kLeast));
  }

  // Nothing is known any more: the device was silent, or is another one.
  void forget() { *this = {}; }

 private:
  std::uint32_t smoothed_us_ = 0;  // 0: no sample yet
  std::uint32_t variation_us_ = 0;
};

}  // namespace frisket::snmp
