#include "daemon/service/unknown_senders.h"

#include <algorithm>

namespace frisket::service {

void UnknownSenders::add(const std::string& address, model::WallTime at) {
  auto place = std::ranges::find(senders_, address, &Sender::address);
  if (place == senders_.end()) {
    if (senders_.size() == room_) senders_.pop_back();
    place = senders_.insert(senders_.end(), Sender{address, 0, at});
  }
  ++place->count;
  place->last = at;
  std::rotate(senders_.begin(), place, place + 1);
}

}  // namespace frisket::service
