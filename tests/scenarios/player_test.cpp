// The player itself: a scenario that should fail fails, and a word that means nothing is refused.
#include <catch2/catch.hpp>

#include "play.h"

using frisket::scenarios::play;

namespace {

const std::string kPrinter =
    "story\n"
    "  A cover is opened.\n"
    "printer\n"
    "  cover 1 \"Front cover\"\n";

std::string only_failure(const std::string& text) {
  const auto outcome = play(text);
  if (outcome.failures.size() != 1) return std::to_string(outcome.failures.size()) + " failures";
  return std::to_string(outcome.failures[0].line) + ": " + outcome.failures[0].what;
}

}  // namespace

TEST_CASE("a scenario in which everything is expected has no failures") {
  const auto outcome = play(kPrinter +
                            "at 00:00\n  expect nothing\n"
                            "at 00:30\n  cover 1 open\n  expect raised cover-open at cover:1 called front\n"
                            "from 01:00 to 02:00 every 00:30\n"
                            "at 02:30\n  cover 1 closed\n  expect cleared front\n");
  CHECK(outcome.failures.empty());
  CHECK(outcome.steps == 6);
}

TEST_CASE("a transition that nobody expects fails") {
  CHECK(only_failure(kPrinter + "at 00:00\n  cover 1 open\n") ==
        "5: at 00:00: not expected: raised cover-open at cover:1 severity major (\"Front cover is open.\")");
}

TEST_CASE("a transition that does not come fails") {
  CHECK(only_failure(kPrinter + "at 00:00\n  expect raised cover-open\n") ==
        "6: at 00:00: missing: raised cover-open; nothing was told");
}

TEST_CASE("a wrong severity fails") {
  CHECK(only_failure(kPrinter + "at 00:00\n  cover 1 open\n  expect raised cover-open severity minor\n") ==
        "7: at 00:00: the severity is major, not minor");
}

TEST_CASE("a word that means nothing is refused with its line") {
  CHECK(only_failure(kPrinter + "at 00:00\n  cover 1 ajar\n") ==
        "6: 'ajar' is no state of a cover: closed, open, interlock-open, unknown");
  CHECK(only_failure(kPrinter + "at 00:00\n  lid 1 open\n").starts_with("6: 'lid' is nothing that happens"));
  CHECK(only_failure(kPrinter + "at 00:00\n  cover 7 open\n") == "6: the printer has no cover 7");
  CHECK(only_failure(kPrinter + "at noon\n") == "5: 'noon' is no time like 01:30 or 02:00:00");
  CHECK(only_failure(kPrinter + "at 00:00\n  expect happiness\n").starts_with("6: 'happiness' cannot be expected"));
  CHECK(only_failure(kPrinter + "at 00:00\n  cover 1 open\n  expect raised cover-open severity bad\n")
            .starts_with("7: 'bad' is no severity"));
  CHECK(only_failure(kPrinter + "at 00:00\n  cover 1 open open\n") == "6: nothing should follow, but 'open' does");
  CHECK(only_failure(kPrinter + "at 01:00\nat 00:30\n") == "6: time runs forwards: the last step was at 01:00");
}

TEST_CASE("a scenario without a story, or in which nothing happens, is refused") {
  CHECK(only_failure("printer\n  path 1\nat 00:00\n").starts_with("1: a scenario starts with a story"));
  CHECK(only_failure(kPrinter) == "4: nothing happens in this scenario");
}
