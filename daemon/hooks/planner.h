// Which hook is told what, and when: changes of incidents and a time in, notices out.
//
// Every notice that is returned is new, or one that was returned before and has changed (another due time, or
// dropped): the caller writes all of them, by id, in one transaction with what caused them, and then hands
// them on to be delivered. What has become of each comes back through settled(). Pure; one thread.
//
// The rules:
// - A hook that was told of an incident is told of it to its end, whatever it has become; the first notice
//   always says raised. It is told of the clearing if, and only if, it was told before, or is about to be.
// - What is cleared before it was due (min_duration, quiet times) is told to nobody.
// - What is shelved, closed or raised in a maintenance window is not told until it comes back.
// - Notices of one incident for one hook are due in the order of their numbers.
#pragma once

#include <cstdint>
#include <deque>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "config/config.h"
#include "daemon/hooks/quiet_times.h"
#include "daemon/incidents/incident.h"
#include "daemon/incidents/notice.h"

namespace frisket::hooks {

using incidents::Notice;

class Planner {
 public:
  using Notices = std::vector<Notice>;

  // So many notices wait for one hook at most. A hook that has more is told of no further incident and no
  // further change; of clearings always.
  static constexpr std::size_t kMostWaiting = 10'000;

  explicit Planner(std::size_t most_waiting = kMostWaiting) : most_waiting_(most_waiting) {}

  // The hooks, and the sites' clocks. Drops what waits for a hook that is gone.
  Notices configure(const config::Config& config);

  // What was kept when the daemon stopped: the outbox's rows, the incidents that are raised, and the greatest
  // number that was ever given. Once, after configure(). Gives what is dropped, because its hook is gone.
  Notices restore(Notices rows, const std::vector<incidents::Incident>& incidents, std::uint64_t last_number);

  // `now`: what is due by then may be on its way already, and is not taken back.
  Notices plan(const incidents::Transition& transition, model::WallTime now);

  // Reminders and escalations that are due by now.
  Notices tick(model::WallTime now);
  std::optional<model::WallTime> next_due() const;

  // A notice was delivered or parked.
  Notices settled(const Notice& notice, model::WallTime now);

  // A notice of no incident, with an id of its own; nothing if there is no such hook.
  std::optional<Notice> test(const std::string& hook, model::WallTime now);

  struct Counters {
    std::uint64_t planned = 0;
    std::uint64_t dropped = 0;  // before they were told
    std::uint64_t refused = 0;  // not even planned: too many waited
  };
  const Counters& counters() const { return counters_; }
  std::size_t waiting(const std::string& hook) const;

 private:
  struct Desk {
    config::Hook hook;
    std::size_t waiting = 0;
    model::WallTime digest_due;  // the end of the newest collection
  };
  // One incident at one hook.
  struct Line {
    std::deque<Notice> waiting;  // in order of number
    bool following = false;      // the present raising was planned to be told, and not cleared yet
    bool heard = false;          // what the receiver knows: it heard of the raising, and of no clearing since
    std::uint64_t opening = 0;   // number of the notice that told the raising
    model::WallTime not_before;  // of anything about the present raising
    model::WallTime last;        // of the last telling

    // All that told the raising was given up.
    bool unheard() const { return following && !heard && waiting.empty(); }
  };
  struct Known {
    incidents::Incident incident;
    std::map<std::string, Line> lines;  // by hook
    std::optional<model::WallTime> alarm;
  };
  struct Change;  // what one call is about, and what it gives

  void follow(Change& change);
  void follow_raised(Change& change);
  void operator_acted(Change& change);
  void clear(Change& change);
  bool add(Change& change, Notice::Reason reason);
  void open(Change& change, Notice::Reason reason);
  void drop(Change& change, std::size_t from);
  void drop_one(Change& change, std::size_t place);
  bool drop_if_untold(Change& change);
  void drop_undue_reminders(Change& change);
  void look_after(Change& change);  // reminders, escalations
  model::WallTime held_until(const Change& change, model::WallTime instant) const;
  model::WallTime due(Change& change) const;
  void restore_row(Notice row, Notices& out);
  void set_alarm(const std::string& id, Known& known);
  std::optional<model::WallTime> next_look(const Known& known, const Desk& desk, const Line* line) const;
  void forget_if_over(const std::string& id);
  const SiteClock& clock_of(const std::string& site) const;

  std::size_t most_waiting_;
  std::map<std::string, Desk> desks_;
  std::map<std::string, SiteClock> clocks_;  // by site
  SiteClock utc_;
  std::map<std::string, Known> incidents_;
  std::set<std::pair<model::WallTime, std::string>> alarms_;
  std::uint64_t last_number_ = 0;
  Counters counters_;
};

// "0kj3v9qa-42-desk": of letters, digits and '-', at most 64.
std::string notice_id(const std::string& incident, std::uint64_t number, const std::string& hook);

}  // namespace frisket::hooks
