// How many polls notifications may cause: one for each device in an interval, and a rate in all.
//
// What comes too early is not lost: it becomes one poll, when the device's interval is over and
// the rate has room. So a flood of forged notifications costs a bounded number of polls, and the
// last true one is always followed by a poll. Pure: time in, decisions out.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "probes/model/time.h"

namespace frisket::service {

class PollLimiter {
 public:
  // `per_second` is at least 1.
  PollLimiter(model::Milliseconds min_interval, int per_second);

  enum class Answer {
    now,      // poll, and it counts as polled
    later,    // take_due() will give the device out
    already,  // the same, and it was waiting before
  };
  Answer ask(const std::string& device, model::SteadyTime now);

  // Devices whose turn has come; each counts as polled.
  std::vector<std::string> take_due(model::SteadyTime now);

  // When take_due() next has something to give; nothing: never, as it stands.
  std::optional<model::SteadyTime> next_due() const;

  std::size_t waiting() const { return line_.size(); }

  // Forgets all devices but these.
  void keep_only(const std::set<std::string>& devices);

 private:
  struct Device {
    model::SteadyTime free_at;  // not polled again before
    bool waiting = false;
  };
  using Place = std::pair<model::SteadyTime, std::uint64_t>;  // due, then in order of asking

  bool room(model::SteadyTime now) const;
  void spend(Device& device, model::SteadyTime now);

  model::SteadyTime::duration min_interval_;
  model::SteadyTime::duration spacing_;  // between two polls, in the long run
  // The token bucket, as the time at which it will be full again: it holds a second's worth.
  model::SteadyTime full_at_{};
  std::map<std::string, Device> devices_;
  std::map<Place, std::string> line_;
  std::uint64_t asked_ = 0;
};

}  // namespace frisket::service
