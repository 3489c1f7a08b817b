// When a hook is not told, by the clock of the incident's site.
//
// Local days and their times follow the IANA time zone: a quiet time that begins or ends while the clock is
// changed begins at the first and ends at the last instant that the clock shows so. Pure once it is made; any
// thread. Reads the machine's zone data once per process, when the first is made.
#pragma once

#include <string>

#include "config/hook.h"
#include "probes/model/time.h"

namespace date {
class time_zone;
}

namespace frisket::hooks {

class SiteClock {
 public:
  // `zone` is an IANA name. Where the machine does not know it, the clock is UTC's.
  explicit SiteClock(const std::string& zone = "UTC");

  // The first instant from `instant` on that is in none of the hook's quiet times.
  model::WallTime after_quiet(const config::Hook& hook, model::WallTime instant) const;

 private:
  using LocalDay = std::chrono::local_days;

  LocalDay day_of(model::WallTime instant) const;
  model::WallTime instant_of(LocalDay day, std::chrono::minutes time, bool last) const;
  model::WallTime end_of_quiet(const config::Hook& hook, model::WallTime instant) const;

  const date::time_zone* zone_;  // owned by the date library for the life of the process; null: UTC
};

}  // namespace frisket::hooks
