#include "daemon/http/request_limit.h"

#include <algorithm>

#include "daemon/http/refusal_limit.h"

namespace frisket::http {

// A clock that was set back fills nothing.
void RequestLimit::Bucket::fill(model::WallTime now) {
  const auto passed = std::chrono::duration<double>(now - at).count();
  if (passed > 0.0) left = std::min<double>(kAtOnce, left + passed * kEachSecond);
  at = now;
}

int RequestLimit::take(const Origin& origin, model::WallTime now) {
  if (origin.unix_socket || origin.loopback) return 0;
  const auto key = peer_key(origin.address);
  if (!peers_.contains(key) && peers_.size() >= kPeers) {
    // A full bucket remembers nothing. If none is, the fullest is forgotten.
    for (auto& [name, bucket] : peers_) bucket.fill(now);
    std::erase_if(peers_, [](const auto& peer) { return peer.second.left >= kAtOnce; });
    if (peers_.size() >= kPeers)
      peers_.erase(std::ranges::max_element(peers_, {}, [](const auto& peer) { return peer.second.left; }));
  }
  auto& bucket = peers_.try_emplace(key, Bucket{kAtOnce, now}).first->second;
  bucket.fill(now);
  if (bucket.left < 1.0) return 1;
  bucket.left -= 1.0;
  return 0;
}

}  // namespace frisket::http
