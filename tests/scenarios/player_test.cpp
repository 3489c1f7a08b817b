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

TEST_CASE("each word for what an incident has can fail") {
  const auto failure = [](const std::string& more) {
    return only_failure(kPrinter + "at 00:00\n  cover 1 open\n  expect raised cover-open " + more + "\n");
  };
  CHECK(failure("times 2") == "7: at 00:00: it was raised 1 times");
  CHECK(failure("outcome replaced") == "7: at 00:00: the outcome is \"\"");
  CHECK(failure("proof held") == "7: at 00:00: the proof is none");
  CHECK(failure("operator ack") == "7: at 00:00: the operator state is none");
  CHECK(failure("chattering") == "7: at 00:00: it is not chattering");
  CHECK(failure("planned") == "7: at 00:00: it is not planned work");
  CHECK(failure("severity major on site") == "7: at 00:00: the device is printer, not site");
  CHECK(failure("evidence cover-open against level") == "7: at 00:00: level does not speak against cover-open");
  CHECK(failure("evidence cover-open said-by console") == "7: at 00:00: console does not speak for cover-open");
  CHECK(failure("evidence cover-open against gossip").starts_with("7: 'gossip' is no witness: alert-table, "));
  CHECK(failure("same front") == "7: no incident was called 'front'");
  CHECK(failure("on site") == "2 failures");  // nothing of the site, and the cover that nobody expects
}

TEST_CASE("what a person says of an incident is told, and a refusal fails the scenario") {
  const auto open = kPrinter + "at 00:00\n  cover 1 open\n  expect raised cover-open called front\n";
  CHECK(play(open + "at 04:00\n  ack front by ilse\n  expect operator front operator ack\n").failures.empty());
  CHECK(
      only_failure(open + "at 04:00\n  ack front by ilse\n").starts_with("8: at 04:00: not expected: operator-action"));
  CHECK(only_failure(open + "at 01:00\n  shelve front until 00:30\n") ==
        "9: at 01:00: refused: the time until when it is shelved is over already");
  CHECK(only_failure(open + "at 01:00\n  ack rear\n") == "9: no incident was called 'rear'");
}

TEST_CASE("neighbours fall silent, and only those that there are") {
  const auto settings = kPrinter + "settings\n  silent-after 1\n  neighbours rockery\n";
  CHECK(play(settings + "at 00:00\n  neighbours silent\n  expect raised device-silent on rockery\n").failures.empty());
  CHECK(only_failure(settings + "at 00:00\n  neighbours silent\n  expect raised device-silent on printer\n") ==
        "2 failures");
  CHECK(only_failure(settings + "at 00:00\n  neighbours silent pond\n") == "9: 'pond' is no neighbour");
  CHECK(only_failure(settings + "at 00:00\n  neighbours asleep\n") == "9: neighbours are 'silent' or 'answer'");
}

TEST_CASE("a setting that means nothing is refused with its line") {
  const auto failure = [](const std::string& setting) {
    return only_failure(kPrinter + "settings\n  " + setting + "\n");
  };
  CHECK(failure("patience 3").starts_with("6: 'patience' is no setting: silent-after, low, "));
  CHECK(failure("begins today") == "6: 'today' is no moment like 2026-10-25T01:30");
  CHECK(failure("begins 2026-10-25T01:30Z") == "6: '2026-10-25T01:30Z' is no moment like 2026-10-25T01:30");
  CHECK(failure("maintenance often 22:00 to 04:00") == "6: 'once', 'daily' or days like 'sat sun' should follow");
  CHECK(failure("maintenance daily 24:00 to 04:00") == "6: a day has 24 hours");
  CHECK(failure("maintenance daily 22:00 to 04:00 of pond") == "6: there is no device 'pond'");
  CHECK(failure("neighbours rockery rockery") == "6: there is a device 'rockery' already");
}

TEST_CASE("a scenario without a story, or in which nothing happens, is refused") {
  CHECK(only_failure("printer\n  path 1\nat 00:00\n").starts_with("1: a scenario starts with a story"));
  CHECK(only_failure(kPrinter) == "4: nothing happens in this scenario");
}
