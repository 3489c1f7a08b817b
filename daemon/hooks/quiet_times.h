// When a hook is not told, by the clock of the incident's site.
//
// Local days and their times follow the IANA time zone: a quiet time that begins or ends while the clock is
// changed begins at the first and ends at the last instant that the clock shows so. Pure once it is made; any
// thread. Reads the machine's zone data once per process, when the first is made.
#pragma once

#include <string>

#include "config/hook.h"
#include "config/local_clock.h"
#include "probes/model/time.h"

namespace frisket::hooks {

class SiteClock {
 public:
  // `zone` is an IANA name. Where the machine does not know it, the clock is UTC's.
  explicit SiteClock(const std::string& zone = "UTC") : clock_(config::LocalClock::of_site(zone)) {}

  // The first instant from `instant` on that is in none of the hook's quiet times.
  model::WallTime after_quiet(const config::Hook& hook, model::WallTime instant) const;

 private:
  model::WallTime end_of_quiet(const config::Hook& hook, model::WallTime instant) const;

  config::LocalClock clock_;
};

}  // namespace frisket::hooks
