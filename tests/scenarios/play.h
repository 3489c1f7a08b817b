// Plays a scenario: readings in, transitions out, each compared with what the file expects.
//
// The format is described in README.md. A scenario is played line by line, so every line of a file
// is read and every word in it means something or is refused.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace frisket::scenarios {

struct Failure {
  int line = 0;
  std::string what;
};

struct Outcome {
  std::vector<Failure> failures;  // empty: as expected
  int steps = 0;                  // readings given
  int expectations = 0;           // lines that could have failed
};

Outcome play(std::string_view text);

}  // namespace frisket::scenarios
