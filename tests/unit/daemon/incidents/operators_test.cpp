// What people say of incidents (Correlator::act; RFC 8632 section 3.5.2).
#include <catch2/catch.hpp>

#include "fixtures.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;

namespace {

// A correlator with one incident: black toner at that level.
struct LowToner {
  explicit LowToner(int percent = 9) { level(percent, kMorning); }

  std::vector<Transition> level(int percent, WallTime at) {
    auto snapshot = healthy();
    snapshot.supplies = {toner(1, "black", percent)};
    return correlator.apply(reading(snapshot, at));
  }
  const Incident& incident() const { return *correlator.incidents().front(); }

  Correlator correlator{one_device()};
};

OperatorAction action(OperatorState state, WallTime at, std::optional<WallTime> until = {}) {
  return {at, state, "ilse", "ordered", until};
}

std::string refusal(const model::Result<std::vector<Transition>>& answer) {
  if (answer) return "not refused";
  CHECK(answer.error().kind == model::Error::Kind::invalid);
  return answer.error().what;
}

}  // namespace

TEST_CASE("what a person says is told once, and kept with who, when and the note") {
  LowToner low;
  const auto id = low.incident().id;
  const auto answer = low.correlator.act(id, action(OperatorState::ack, kMorning + 1min));
  REQUIRE(answer);
  REQUIRE(answer.value().size() == 1);
  CHECK(answer.value()[0].what == What::operator_action);
  CHECK(answer.value()[0].incident == low.incident());
  CHECK(low.incident().operator_state == OperatorState::ack);
  CHECK(low.incident().state == Incident::State::raised);
  CHECK(low.incident().changed_at == kMorning + 1min);
  CHECK(low.incident().actions == std::vector<OperatorAction>{action(OperatorState::ack, kMorning + 1min)});
  CHECK(low.level(9, kMorning + 2min).empty());
}

TEST_CASE("what cannot be said is refused and changes nothing") {
  LowToner low;
  const auto id = low.incident().id;
  const auto before = low.correlator.memory();
  const auto at = kMorning + 1min;
  auto& correlator = low.correlator;
  CHECK(refusal(correlator.act("0000000z", action(OperatorState::ack, at))) == "there is no such incident");
  CHECK(refusal(correlator.act("", action(OperatorState::ack, at))) == "there is no such incident");
  CHECK(refusal(correlator.act(id, action(OperatorState::shelved, at))) == "shelving needs a time until when");
  CHECK(refusal(correlator.act(id, action(OperatorState::shelved, at, at))) ==
        "the time until when it is shelved is over already");
  CHECK(refusal(correlator.act(id, action(OperatorState::shelved, at, at - 24h))) ==
        "the time until when it is shelved is over already");
  CHECK(refusal(correlator.act(id, action(OperatorState::shelved, at, at + std::chrono::days{90} + 1s))) ==
        "shelving is for 90 days at most");
  CHECK(refusal(correlator.act(id, action(OperatorState::none, at))) ==
        "nobody has said anything of it that could be taken back");
  auto wordy = action(OperatorState::ack, at);
  wordy.note.assign(501, 'x');
  CHECK(refusal(correlator.act(id, wordy)) == "name and note are at most 500 bytes");
  wordy.note.clear();
  wordy.by.assign(501, 'x');
  CHECK(refusal(correlator.act(id, wordy)) == "name and note are at most 500 bytes");
  CHECK(correlator.memory() == before);
  CHECK(correlator.tick(at).empty());
}

TEST_CASE("shelving for ninety days is the longest") {
  LowToner low;
  const auto at = kMorning + 1min;
  CHECK(low.correlator.act(low.incident().id, action(OperatorState::shelved, at, at + std::chrono::days{90})));
}

TEST_CASE("shelving is measured from the last time that is known, not from a clock that runs behind") {
  LowToner low;
  low.level(9, kMorning + 2h);
  CHECK(refusal(low.correlator.act(low.incident().id, action(OperatorState::shelved, kMorning, kMorning + 1h))) ==
        "the time until when it is shelved is over already");
}

TEST_CASE("a cleared incident can only be closed") {
  LowToner low;
  const auto id = low.incident().id;
  REQUIRE(low.level(90, kMorning + 1min).size() == 1);
  const auto at = kMorning + 2min;
  const std::string only = "it is cleared: it can only be closed";
  CHECK(refusal(low.correlator.act(id, action(OperatorState::ack, at))) == only);
  CHECK(refusal(low.correlator.act(id, action(OperatorState::shelved, at, at + 1h))) == only);
  CHECK(refusal(low.correlator.act(id, action(OperatorState::none, at))) == only);
  REQUIRE(low.correlator.act(id, action(OperatorState::closed, at)));
  CHECK(low.incident().operator_state == OperatorState::closed);
  CHECK(low.incident().state == Incident::State::cleared);
}

TEST_CASE("a time until when is kept for shelving only") {
  LowToner low;
  const auto at = kMorning + 1min;
  REQUIRE(low.correlator.act(low.incident().id, action(OperatorState::ack, at, at + 1h)));
  CHECK_FALSE(low.incident().shelved_until.has_value());
  CHECK_FALSE(low.incident().actions.back().until.has_value());
}

TEST_CASE("shelving ends at its time, once, also after a restart") {
  for (const bool restarts : {false, true}) {
    LowToner low;
    REQUIRE(low.correlator.act(low.incident().id, action(OperatorState::shelved, kMorning, kMorning + 1h)));
    if (restarts) {
      Correlator fresh(one_device());
      CHECK(fresh.restore(low.correlator.memory(), kMorning + 10min).empty());
      low.correlator = std::move(fresh);
    }
    CHECK(low.correlator.tick(kMorning + 1h - 1ms).empty());
    const auto told = low.correlator.tick(kMorning + 1h);
    REQUIRE(told.size() == 1);
    CHECK(told[0].what == What::operator_action);
    CHECK(told[0].incident.operator_state == OperatorState::none);
    CHECK_FALSE(told[0].incident.shelved_until.has_value());
    CHECK(told[0].incident.actions.back().by.empty());  // the server's own doing
    CHECK(low.correlator.tick(kMorning + 2h).empty());
  }
}

TEST_CASE("what is shelved or closed comes back when it gets worse, what is acknowledged stays so") {
  for (const auto state : {OperatorState::shelved, OperatorState::closed, OperatorState::ack}) {
    LowToner low;
    REQUIRE(low.correlator.act(low.incident().id, action(state, kMorning, kMorning + 5h)));
    CHECK(low.level(8, kMorning + 1min).empty());  // no worse than before
    const auto told = low.level(0, kMorning + 2min);
    REQUIRE(told.size() == 1);
    CHECK(told[0].what == What::changed);
    CHECK(told[0].incident.operator_state == (state == OperatorState::ack ? OperatorState::ack : OperatorState::none));
  }
}

TEST_CASE("the last 32 actions and changes are kept, the newest of them last") {
  LowToner low;
  const auto id = low.incident().id;
  for (int i = 1; i <= 100; ++i) {
    auto next = action(OperatorState::ack, kMorning + i * 1min);
    next.note = std::to_string(i);
    REQUIRE(low.correlator.act(id, next));
  }
  CHECK(low.incident().actions.size() == kActionsKept);
  CHECK(low.incident().actions.front().note == "69");
  CHECK(low.incident().actions.back().note == "100");
  CHECK(low.incident().changes.size() == kChangesKept);
  CHECK(low.incident().changes.back().what == What::operator_action);
}

TEST_CASE("the kinds that an incident had before are kept once each") {
  LowToner low;
  auto at = kMorning;
  for (int round = 0; round < 50; ++round) {
    low.level(0, at += 1min);
    low.level(90, at += 1min);
    low.level(9, at += 1min);  // came back within ten minutes
    REQUIRE(low.correlator.incidents().size() == 1);
  }
  CHECK(low.incident().times_raised > 10);
  CHECK(low.incident().kind == "toner-low");
  CHECK(low.incident().earlier_kinds == std::vector<std::string>{"toner-low", "toner-empty"});
}

TEST_CASE("an open cover is waited with for who has acknowledged something, not for who has shelved it") {
  for (const auto& [state, until] : {std::pair(OperatorState::ack, std::optional<WallTime>()),
                                     std::pair(OperatorState::shelved, std::optional(kMorning + 2h))}) {
    LowToner low;
    REQUIRE(low.correlator.act(low.incident().id, action(state, kMorning + 1min, until)));
    auto snapshot = healthy();
    snapshot.supplies = {toner(1, "black", 9)};
    low.correlator.apply(reading(snapshot, kMorning + 2min));
    snapshot.covers[0].status = model::CoverStatus::cover_open;
    CHECK(low.correlator.apply(reading(snapshot, kMorning + 3min)).empty() == (state == OperatorState::ack));
  }
}

TEST_CASE("what was shelved and comes back no worse stays shelved") {
  LowToner low;
  REQUIRE(low.correlator.act(low.incident().id, action(OperatorState::shelved, kMorning + 1min, kMorning + 2h)));
  low.level(100, kMorning + 2min);
  REQUIRE(low.incident().state == Incident::State::cleared);
  REQUIRE(low.level(9, kMorning + 3min).size() == 1);
  CHECK(low.incident().times_raised == 2);
  CHECK(low.incident().operator_state == OperatorState::shelved);
  CHECK(low.incident().shelved_until == kMorning + 2h);
}
