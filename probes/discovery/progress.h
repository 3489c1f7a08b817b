// How far discovery is, on standard error: one line that is rewritten on a terminal, else a
// line each ten percent. Says what to write; writes nothing itself. Pure; any thread.
#pragma once

#include <cstdint>
#include <string>

#include "probes/discovery/scan.h"

namespace frisket::discovery {

// "asked 26 of 254, answered 3, printers 2, silent 20"
std::string progress_text(const Tally& tally);

class Progress {
 public:
  explicit Progress(bool terminal) : terminal_(terminal) {}

  // What to write now; mostly nothing.
  std::string after(const Tally& tally);

  // What ends the line on a terminal, so that whatever comes next begins with a line of its own.
  std::string end();

 private:
  bool terminal_ = false;
  std::uint64_t said_ = 0;  // of kSteps
  bool open_ = false;       // the cursor is behind a line of ours
};

}  // namespace frisket::discovery
