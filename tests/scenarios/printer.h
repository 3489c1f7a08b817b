// The printer of a scenario: described once, then changed line by line.
#pragma once

#include <string>

#include "line.h"
#include "probes/model/reading.h"

namespace frisket::scenarios {

struct Printer {
  model::DeviceSnapshot snapshot;
  model::Reach reach = model::Reach::answered;

  // A line of the section "printer": one subunit.
  void describe(Line& line);

  // A line below "at" that is no expectation.
  void change(Line& line);
};

// What the printer is before its first line: running and idle, no bit set.
Printer idle_printer();

}  // namespace frisket::scenarios
