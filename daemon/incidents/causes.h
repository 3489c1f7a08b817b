// From conditions to problems: what has one cause is one problem.
//
// - Conditions of one family at one subunit are one problem (low and empty of one cartridge; a tray that
//   is empty and then pulled out).
// - All jams of a device are one problem, and so are the covers and trays that stand open
//   meanwhile: that is somebody at work on the jam, or the jam's own doing.
// Pure; any thread.
#pragma once

#include <set>
#include <string>
#include <utility>
#include <vector>

#include "daemon/incidents/incident.h"

namespace frisket::incidents {

// Where a condition is at home: its family and its subunit. Two problems never share a home.
using Home = std::pair<std::string, Subunit>;

Home home_of(const Condition& condition);

struct Problem {
  std::vector<Condition> conditions;  // never empty; the leading one first

  const Condition& lead() const { return conditions.front(); }
  Severity severity() const;  // the worst of them
  std::set<Home> homes() const;
};

// In order of the leading condition's rank and subunit.
std::vector<Problem> problems_of(std::vector<Condition> conditions);

}  // namespace frisket::incidents
