// Who sent notifications without being a configured device: the last addresses, with counts.
//
// A printer that was set up but not configured shows here, and so does somebody who forges.
// Bounded: where there is no room, the address that was silent longest goes. Pure.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "probes/model/time.h"

namespace frisket::service {

class UnknownSenders {
 public:
  struct Sender {
    std::string address;
    std::uint64_t count = 0;
    model::WallTime last;
  };

  explicit UnknownSenders(std::size_t room = 32) : room_(room) {}

  void add(const std::string& address, model::WallTime at);

  // The latest first.
  const std::vector<Sender>& list() const { return senders_; }

 private:
  std::size_t room_;
  std::vector<Sender> senders_;
};

}  // namespace frisket::service
