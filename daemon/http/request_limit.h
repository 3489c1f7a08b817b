// How many requests one address beyond this machine may make: a bucket that fills by itself. Bounded in memory. Pure;
// one thread.
#pragma once

#include <map>
#include <string>

#include "daemon/http/access.h"
#include "probes/model/time.h"

namespace frisket::http {

class RequestLimit {
 public:
  static constexpr int kEachSecond = 50;  // of one IPv4 address or IPv6 /64, over time
  static constexpr int kAtOnce = 200;     // a page with all its lists is a dozen
  static constexpr std::size_t kPeers = 4096;

  // Counts a request. Gives the seconds after which the next will be answered if there were too many; 0 if there were
  // not. The UNIX socket and loopback, behind which a proxy may stand for everybody, are not counted.
  int take(const Origin& origin, model::WallTime now);

  std::size_t peers() const { return peers_.size(); }

 private:
  struct Bucket {
    double left = kAtOnce;
    model::WallTime at;
    void fill(model::WallTime now);
  };

  std::map<std::string, Bucket> peers_;
};

}  // namespace frisket::http
