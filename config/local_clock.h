// The wall clock of a site: local days and times of an IANA time zone, where the clock changes too.
//
// Immutable; any thread. Reads the machine's zone data once per process, when the first is made.
#pragma once

#include <chrono>
#include <string>

#include "probes/model/result.h"
#include "probes/model/time.h"

namespace date {
class time_zone;
}

namespace frisket::config {

class LocalClock {
 public:
  // UTC's.
  LocalClock() = default;

  // Errors: invalid for a name that the zone data does not know, local where the machine has no zone data.
  static model::Result<LocalClock> of(const std::string& zone);
  // UTC's where there is no such zone: the configuration has warned of it.
  static LocalClock of_site(const std::string& zone);

  // What the clock shows then.
  std::chrono::local_time<model::Milliseconds> time_of(model::WallTime instant) const;
  std::chrono::local_days day_of(model::WallTime instant) const;

  // When the clock shows that. Of the two instants of a time that comes twice, which; a time that
  // the clock skips is the instant of the change.
  enum class Choice { earliest, latest };
  model::WallTime instant_of(std::chrono::local_time<model::Milliseconds> local,
                             Choice choice = Choice::earliest) const;

 private:
  explicit LocalClock(const date::time_zone* zone) : zone_(zone) {}

  const date::time_zone* zone_ = nullptr;  // owned by the date library for the life of the process; null: UTC
};

}  // namespace frisket::config
