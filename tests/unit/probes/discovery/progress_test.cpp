#include "probes/discovery/progress.h"

#include <catch2/catch.hpp>

namespace frisket::discovery {
namespace {

Tally tally(std::uint64_t total, std::uint64_t asked, std::uint64_t answered, std::uint64_t silent) {
  Tally tally;
  tally.total = total;
  tally.asked = asked;
  tally.answered = answered;
  tally.printers = answered / 2;
  tally.silent = silent;
  return tally;
}

TEST_CASE("a log gets a line each ten percent of the addresses and no terminal control") {
  Progress progress(false);
  std::string log;
  for (std::uint64_t done = 1; done <= 254; ++done) log += progress.after(tally(254, 254, 4, done > 4 ? done - 4 : 0));
  CHECK(std::count(log.begin(), log.end(), '\n') == 10);
  CHECK(log.find('\r') == log.npos);
  CHECK(log.find('\x1b') == log.npos);
  CHECK_THAT(log, Catch::EndsWith("asked 254 of 254, answered 4, printers 2, silent 250\n"));
  CHECK(progress.end().empty());
}

TEST_CASE("a terminal gets one line that is rewritten, and its end") {
  Progress progress(true);
  CHECK(progress.after(tally(4, 2, 1, 0)) == "\rasked 2 of 4, answered 1, printers 0, silent 0\x1b[K");
  CHECK(progress.after(tally(4, 3, 1, 0)).empty());
  CHECK(progress.end() == "\n");
  CHECK(progress.end().empty());
}

TEST_CASE("nothing to ask is no division by nothing") {
  Progress progress(false);
  CHECK(progress.after(tally(0, 0, 0, 0)) == "asked 0 of 0, answered 0, printers 0, silent 0\n");
}

}  // namespace
}  // namespace frisket::discovery
