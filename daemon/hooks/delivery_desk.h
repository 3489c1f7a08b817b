// What waits for one hook, and what may go next. Private to the delivery.
//
// Every operation takes time that grows at most with the logarithm of what waits, except where it says so.
// One thread.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "config/hook.h"
#include "daemon/incidents/notice.h"

namespace frisket::hooks {

using incidents::Notice;
using model::SteadyTime;
using model::WallTime;

// How the wall clock and the steady one stand to each other at the moment.
struct Times {
  SteadyTime steady;
  WallTime wall;
  SteadyTime steady_of(WallTime instant) const { return instant <= wall ? steady : steady + (instant - wall); }
};

class DeliveryDesk {
 public:
  static constexpr std::size_t kLargestDigest = 500;  // notices

  explicit DeliveryDesk(const config::Hook& hook) { configure(hook, {}); }

  // Linear in what waits if digest was switched on or off.
  void configure(const config::Hook& hook, const Times& times);
  const std::shared_ptr<const config::Hook>& hook() const { return hook_; }

  // A new notice, or one that waits and has changed. One under way stays as it is.
  void put(Notice notice, const Times& times);
  void remove(const Notice& notice, const Times& times);

  // When something may go, if nothing else happens.
  std::optional<SteadyTime> next() const;

  // What may go now; its line is busy until release(). Empty if nothing may.
  std::vector<Notice> take(const Times& times);
  void release(const std::string& line, const Times& times);

  // Back into its line, not before `retry_at`.
  void put_back(std::vector<Notice> notices, SteadyTime retry_at, bool unreachable, const Times& times);
  // The receiver is there again: what found it unreachable need not wait. Linear in the lines.
  void reachable(const Times& times);
  // The wall clock was set. Linear in the lines.
  void place_all(const Times& times);

  std::string line_of(const Notice& notice) const;
  std::size_t waiting() const { return waiting_; }
  std::size_t clear();

  int running = 0;
  std::uint64_t told = 0;    // notices
  std::uint64_t failed = 0;  // attempts
  std::uint64_t parked = 0;  // notices
  bool gone = false;         // no longer configured

 private:
  struct Place {
    SteadyTime at;
    std::uint64_t number;
    std::string line;
    friend auto operator<=>(const Place&, const Place&) = default;
  };
  struct Line {
    std::map<std::uint64_t, Notice> waiting;  // by number
    WallTime due;                             // of what may go next
    std::optional<Place> place;               // in ready_
    SteadyTime retry_at;
    bool unreachable = false;
    bool busy = false;
  };

  void place(const std::string& name, const Times& times);
  void look_for_due(Line& line) const;

  std::shared_ptr<const config::Hook> hook_;
  std::map<std::string, Line> lines_;
  std::set<Place> ready_;
  std::size_t waiting_ = 0;
  std::size_t unreachable_ = 0;  // lines
};

}  // namespace frisket::hooks
