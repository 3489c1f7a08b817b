// What standard output is.
#pragma once

#include <cstddef>
#include <string>

namespace frisket::client {

struct Terminal {
  bool is_terminal = false;
  bool colour = false;     // a terminal, and neither NO_COLOR nor TERM=dumb says otherwise
  std::size_t width = 80;  // columns; at least 20
};

// Asks the system and the environment once. NO_COLOR counts when it is set and not empty.
Terminal standard_output();

// Whether somebody can be asked: what he reads and what he types are both at a terminal.
bool can_ask();

// Shows the text on standard error and reads a line: true if it is the word yes.
bool ask_for_yes(const std::string& shown);

// Who runs the program, by the system's list of users; the number of one that is not listed.
std::string user_name();

}  // namespace frisket::client
