// What can happen to a simulated device, in the words that time lines and the control
// channel share ("jam input:2", "level 1 4", "off"). README.md lists them.
#pragma once

#include <chrono>
#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "tests/simfleet/model.h"

namespace frisket::simfleet {

// Simulated time since the fleet started.
using SimTime = std::chrono::milliseconds;

// A PrtAlertGroupTC value and the row in that group's table.
struct Subunit {
  std::int32_t group = 5;
  std::int32_t index = 1;
  friend bool operator==(const Subunit&, const Subunit&) = default;
};

enum class Verb {
  jam,
  unjam,
  open,
  close,
  pull,
  insert,
  load,
  media,
  room,
  level,
  take,
  replace,
  fail,
  repair,
  offline,
  online,
  rate,
  print,
  console,
  off,
  on,
  fault,
  slow,
  loss,
  alert,
  unalert,
  set,
  unset,
  hide,
  link_errors,
};

struct Event {
  Verb verb = Verb::on;
  Subunit subunit;
  double number = 0;
  std::string text;
  std::vector<std::int32_t> numbers;  // alert: severity, training, location, code
  Oid oid;
  std::string value;  // encoded
};

// Checks the words against the model: a tray that it does not have is an error here, not
// when the time comes. The string alternative says what is wrong and what is allowed.
std::variant<Event, std::string> parse_event(std::string_view line, const Model& model);

}  // namespace frisket::simfleet
