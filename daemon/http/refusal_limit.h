// How many refusals each peer gets to hear, so that whoever keeps trying fills neither the log nor the audit trail.
//
// It slows down nobody who may: a token is not to be guessed however often it is tried, and behind a proxy all have
// one address. Bounded in memory. Pure; one thread.
#pragma once

#include <cstdint>
#include <map>
#include <string>

#include "daemon/http/access.h"
#include "probes/model/time.h"

namespace frisket::http {

// Whom an address stands for: whoever has one address of an IPv6 network has all of its /64.
std::string peer_key(const std::string& address);

class RefusalLimit {
 public:
  static constexpr int kEach = 10;  // in a minute, to one IPv4 address or IPv6 /64
  static constexpr int kAll = 300;  // in a minute, to all of them
  static constexpr std::size_t kPeers = 1024;

  // Counts a refusal. Gives the seconds after which it counts anew if there were too many; 0 if there were not.
  int refuse(const Origin& origin, model::WallTime now);

  std::size_t peers() const { return peers_.size(); }

 private:
  struct Minute {
    model::WallTime begin;
    int count = 0;
    bool is_over(model::WallTime now) const;
    int seconds_left(model::WallTime now) const;
  };
  void make_room(model::WallTime now);

  std::map<std::string, Minute> peers_;
  Minute all_;
};

}  // namespace frisket::http
