// What really happens in the week: made by the generator, and never from what the correlator says.
#pragma once

#include <functional>
#include <set>
#include <string>
#include <vector>

#include "dice.h"
#include "printer.h"

namespace frisket::week {

// What a poll has to show of it before anybody can know.
enum class Shown {
  by_an_answer,       // any answered poll while it is so
  by_missed_polls,    // polling.silent_after in a row
  by_interruptions,   // 6 within an hour (docs/incidents.md: 4, and one for twenty polls of 30 s)
  by_a_silent_place,  // two thirds of the site's devices have missed polling.silent_after in a row
};

// One problem that a person must deal with.
struct Truth {
  std::string device;           // empty: the whole site
  std::string site;             // of a device too
  std::string what;             // "jam at input:2"
  std::set<std::string> kinds;  // how it may be called when it is raised
  WallTime from;                // first seen by one who stands in front of it
  WallTime until;               // mended
  Seconds grace{0};             // how long it must have been seen first (docs/incidents.md, "delay")
  Seconds stays{0};             // how long it is held on after it is mended, as docs/incidents.md says
  bool to_the_second = true;    // whether `until` is exact: then it must not be cleared before
  bool brief = false;           // a cover or tray opened for a moment: told, if a poll meets it
  Shown shown = Shown::by_an_answer;
  // Whether the printer shows it just now; none: all the time. A level that trembles is not always low.
  std::function<bool(const Printer&)> wavers{};
};

struct Happening {
  WallTime at;
  std::function<void(Printer&)> change;  // none: `acknowledge` is meant
  std::set<std::string> acknowledge{};   // what the technician says he is at: the kinds it may have
};

// One story: what happens to one device, and what of it is a problem.
struct Episode {
  std::string device;
  WallTime from;
  WallTime until;
  std::vector<Happening> happenings{};
  std::vector<Truth> truths{};
  // From here on it has the printer for itself; before, it is only in the background (a cartridge that gets low).
  WallTime alone_from{};
};

struct Outage {
  std::string site;
  WallTime from;
  WallTime until;
};

struct Member {
  std::string name;
  std::string site;
  Dialect dialect;
};

// The whole week.
struct Plan {
  WallTime begins;
  WallTime ends;
  std::vector<Member> fleet;
  std::vector<Episode> episodes;
  std::vector<Outage> outages;  // of the switch at a site
  WallTime restart;             // the daemon is stopped ...
  WallTime restarted;           // ... and started again
  std::vector<Truth> truths() const;
};

}  // namespace frisket::week
