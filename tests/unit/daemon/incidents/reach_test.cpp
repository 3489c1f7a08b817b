// How a device met its polls, and what is concluded from it (reach.h).
#include "daemon/incidents/reach.h"

#include <catch2/catch.hpp>

#include "fixtures.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;
using model::Reach;

namespace {

model::DeviceSnapshot with_errors(std::optional<std::uint32_t> in, std::optional<std::uint32_t> out = std::nullopt) {
  auto snapshot = healthy();
  model::Interface interface;
  interface.index = 1;
  interface.in_errors = in;
  interface.out_errors = out;
  snapshot.interfaces = {interface};
  return snapshot;
}

config::Device polled_every(config::Seconds interval) {
  auto device = one_device().devices.front();
  device.poll_interval = interval;
  return device;
}

// One poll missed, the next one answered.
void interrupt(ReachMemory& memory, WallTime at) {
  note_missed(memory, Reach::silent, "no answer", at, true);
  note_answered(memory, healthy(), at + 30s);
}

bool suspects(const ReachMemory& memory, WallTime at, bool open = false) {
  return cable_condition(memory, polled_every(config::Seconds{60}), open, at).has_value();
}

}  // namespace

TEST_CASE("missed polls are counted from the first, and the first answer forgets them") {
  ReachMemory memory;
  note_missed(memory, Reach::silent, "no answer", kMorning, true);
  note_missed(memory, Reach::refused, "no such community", kMorning + 30s, true);
  CHECK(memory.missed == 2);
  CHECK(memory.missed_since == kMorning);
  CHECK(memory.last == Reach::refused);
  const auto condition = missed_condition(memory);
  CHECK(condition.keyword == "device-refused");
  CHECK(condition.since == kMorning);
  REQUIRE(condition.witnesses.size() == 1);
  CHECK(condition.witnesses[0].says == "no such community");

  note_answered(memory, healthy(), kMorning + 60s);
  CHECK(memory.missed == 0);
  CHECK_FALSE(memory.missed_since.has_value());
  CHECK(memory.detail.empty());
  CHECK(memory.interruptions == std::vector<WallTime>{kMorning});
}

TEST_CASE("each way to miss a poll has its own kind") {
  const std::pair<Reach, std::string> kinds[] = {{Reach::silent, "device-silent"},
                                                 {Reach::refused, "device-refused"},
                                                 {Reach::unknown_user, "device-unknown-user"},
                                                 {Reach::wrong_key, "device-wrong-key"},
                                                 {Reach::nonsense, "device-nonsense"}};
  for (const auto& [reach, kind] : kinds) {
    ReachMemory memory;
    note_missed(memory, reach, "", kMorning, true);
    CHECK(missed_condition(memory).keyword == kind);
  }
}

TEST_CASE("an answer without a snapshot is nonsense") {
  ReachMemory memory;
  note_missed(memory, Reach::answered, "", kMorning, true);
  CHECK(missed_condition(memory).keyword == "device-nonsense");
}

TEST_CASE("four interruptions within an hour make a cable suspect, three do not") {
  ReachMemory memory;
  for (const auto after : {0min, 10min, 20min}) interrupt(memory, kMorning + after);
  CHECK_FALSE(suspects(memory, kMorning + 21min));
  interrupt(memory, kMorning + 30min);
  CHECK(suspects(memory, kMorning + 31min));
  // The first is an hour ago.
  CHECK_FALSE(suspects(memory, kMorning + 60min));
}

TEST_CASE("a suspected cable stays suspected until the last interruption is an hour ago") {
  ReachMemory memory;
  for (const auto after : {0min, 10min, 20min, 30min}) interrupt(memory, kMorning + after);
  CHECK(suspects(memory, kMorning + 90min - 1s, true));
  CHECK_FALSE(suspects(memory, kMorning + 90min, true));
}

TEST_CASE("a device that is polled quickly needs an interruption for every twenty polls") {
  const auto quick = polled_every(config::Seconds{10});  // 360 polls an hour: 18
  ReachMemory memory;
  for (int i = 0; i < 17; ++i) interrupt(memory, kMorning + i * 1min);
  CHECK_FALSE(cable_condition(memory, quick, false, kMorning + 20min).has_value());
  interrupt(memory, kMorning + 18min);
  CHECK(cable_condition(memory, quick, false, kMorning + 20min).has_value());
}

TEST_CASE("an interruption while the whole site is away does not count") {
  ReachMemory memory;
  note_missed(memory, Reach::silent, "", kMorning, false);
  CHECK(memory.interruptions.empty());

  ReachMemory known_later;
  interrupt(known_later, kMorning);
  note_missed(known_later, Reach::silent, "", kMorning + 5min, true);
  forget_interruption(known_later);
  forget_interruption(known_later);  // the earlier one was its own
  CHECK(known_later.interruptions == std::vector<WallTime>{kMorning});
}

TEST_CASE("what is remembered of interruptions is bounded") {
  ReachMemory memory;
  for (int i = 0; i < 2000; ++i) interrupt(memory, kMorning + i * 1s);
  CHECK(memory.interruptions.size() <= 256);
  note_answered(memory, healthy(), kMorning + 3h);
  CHECK(memory.interruptions.empty());
}

TEST_CASE("a hundred more interface errors within an hour make a cable suspect, ninety-nine do not") {
  for (const std::uint32_t more : {99U, 100U}) {
    ReachMemory memory;
    note_answered(memory, with_errors(5000, 10), kMorning);
    note_answered(memory, with_errors(5000 + more - 9, 19), kMorning + 59min);
    const auto condition = cable_condition(memory, polled_every(config::Seconds{60}), false, kMorning + 59min);
    CHECK(condition.has_value() == (more == 100));
    if (condition) CHECK(says(*condition, Witness::Source::interface));
    CHECK_FALSE(suspects(memory, kMorning + 2h));
  }
}

TEST_CASE("the errors that a device has when it is first read are none of this hour") {
  ReachMemory memory;
  note_answered(memory, with_errors(4000000000U), kMorning);
  CHECK_FALSE(suspects(memory, kMorning));
}

TEST_CASE("an error counter that starts again or wraps counts from there") {
  ReachMemory memory;
  note_answered(memory, with_errors(4294967200U), kMorning);
  note_answered(memory, with_errors(40), kMorning + 10min);  // 2^32 has been passed, or the printer was off
  CHECK_FALSE(suspects(memory, kMorning + 10min));
  note_answered(memory, with_errors(139), kMorning + 20min);
  CHECK_FALSE(suspects(memory, kMorning + 20min));
  note_answered(memory, with_errors(140), kMorning + 30min);
  CHECK(suspects(memory, kMorning + 30min));
}

TEST_CASE("errors that came together over a weekend without a reading are no cable") {
  ReachMemory memory;
  note_answered(memory, with_errors(0), kMorning);
  note_answered(memory, with_errors(500), kMorning + 60h);
  CHECK_FALSE(suspects(memory, kMorning + 60h));
  note_answered(memory, with_errors(600), kMorning + 61h);
  CHECK(suspects(memory, kMorning + 61h));
}

TEST_CASE("a reading without error counters changes nothing of them") {
  ReachMemory memory;
  note_answered(memory, with_errors(7), kMorning);
  const auto before = memory;
  note_answered(memory, with_errors(std::nullopt), kMorning + 1min);
  note_answered(memory, healthy(), kMorning + 2min);
  CHECK(memory == before);
}

TEST_CASE("interruptions and interface errors are two witnesses of one cable") {
  ReachMemory memory;
  note_answered(memory, with_errors(0), kMorning);
  for (const auto after : {0min, 10min, 20min, 30min}) interrupt(memory, kMorning + after);
  note_answered(memory, with_errors(100), kMorning + 31min);
  const auto condition = cable_condition(memory, polled_every(config::Seconds{60}), false, kMorning + 31min);
  REQUIRE(condition.has_value());
  CHECK(condition->witnesses.size() == 2);
  CHECK(says(*condition, Witness::Source::history));
  CHECK(says(*condition, Witness::Source::interface));
}
