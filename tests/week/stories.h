// The stories of the week: what can happen to one printer, from its beginning to the mended printer.
#pragma once

#include "story.h"

namespace frisket::week {

using Teller = Episode (*)(Story story);

// ---- paper.cpp
Episode jam(Story story);
Episode jam_at_roller(Story story);  // at input:2, where the roller is worn
Episode tray_runs_empty(Story story);
Episode tray_left_open(Story story);
Episode tray_opened_for_a_moment(Story story);
Episode bin_fills(Story story);
Episode bypass_asks(Story story);

// ---- supplies.cpp
Episode toner_is_replaced_in_time(Story story);
Episode toner_runs_out(Story story);

// ---- machine.cpp
Episode cover_left_open(Story story);
Episode cover_opened_for_a_moment(Story story);
Episode fuser_fails(Story story);
Episode stop_without_a_reason(Story story);
Episode service_is_asked_for(Story story);
Episode maintenance_is_overdue(Story story);
Episode off_line_for_a_moment(Story story);
Episode off_line_for_long(Story story);
Episode switched_off(Story story);
Episode restarts(Story story);
Episode restarts_with_an_empty_tray(Story story);
Episode cable_flaps(Story story);
Episode cable_spoils(Story story);
Episode reports_something(Story story);
Episode naps(Story story);
Episode sleeps_until(Story story, WallTime morning);

}  // namespace frisket::week
