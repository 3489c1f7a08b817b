// run_scenarios FILE...: plays each file and says for each what did not come out as expected.
//
// Ends with 0 if all did, 1 if not, 2 if a file cannot be read.
#include <fstream>
#include <iostream>
#include <sstream>

#include "play.h"

int main(int argc, char** argv) {
  int failed = 0;
  for (int i = 1; i < argc; ++i) {
    const std::string path = argv[i];
    std::ifstream file(path);
    if (!file) {
      std::cerr << path << ": cannot be read\n";
      return 2;
    }
    std::ostringstream text;
    text << file.rdbuf();
    const auto outcome = frisket::scenarios::play(text.str());
    for (const auto& failure : outcome.failures)
      std::cout << path << ":" << failure.line << ": " << failure.what << "\n";
    if (!outcome.failures.empty()) ++failed;
    const auto name = path.substr(path.find_last_of('/') + 1);
    std::cout << (outcome.failures.empty() ? "as expected: " : "NOT as expected: ") << name << " (" << outcome.steps
              << " readings, " << outcome.expectations << " expectations)\n";
  }
  return failed == 0 && argc > 1 ? 0 : 1;
}
