#include "probes/discovery/progress.h"

namespace frisket::discovery {
namespace {

// Steps of the whole that are shown: more would only cost the terminal's time.
constexpr std::uint64_t kStepsOnTerminal = 1000;
constexpr std::uint64_t kStepsInLog = 10;

}  // namespace

std::string progress_text(const Tally& tally) {
  return "asked " + std::to_string(tally.asked) + " of " + std::to_string(tally.total) + ", answered " +
         std::to_string(tally.answered) + ", printers " + std::to_string(tally.printers) + ", silent " +
         std::to_string(tally.silent);
}

std::string Progress::after(const Tally& tally) {
  const auto steps = terminal_ ? kStepsOnTerminal : kStepsInLog;
  const auto step = tally.total == 0 ? steps : tally.done() * steps / tally.total;
  if (step <= said_) return {};
  said_ = step;
  if (!terminal_) return progress_text(tally) + "\n";
  open_ = true;
  return "\r" + progress_text(tally) + "\x1b[K";  // ECMA-48: erase to the end of the line
}

std::string Progress::end() {
  if (!open_) return {};
  open_ = false;
  return "\n";
}

}  // namespace frisket::discovery
