// Who is told of what.
#include <algorithm>
#include <nlohmann/json.hpp>
#include <random>
#include <set>

#include "planning.h"

namespace frisket::hooks {
namespace {

TEST_CASE("a notice has an id of its own that says whose it is, rises, and carries its id, hook and reason") {
  Planning garden;
  garden.hook("Night.Porter");
  garden.hook("desk");
  garden.configure();
  const auto notices = garden.happen("0kj3v9qa", What::raised, [](Incident& it) { it.times_raised = 3; });
  REQUIRE(notices.size() == 2);
  CHECK(notices[0].id == "0kj3v9qa-1-night-porter");
  CHECK(notices[1].id == "0kj3v9qa-2-desk");
  const auto body = nlohmann::json::parse(notices[1].body);
  CHECK(body["id"] == "0kj3v9qa-2-desk");
  CHECK(body["hook"] == "desk");
  CHECK(body["reason"] == "raised");
  CHECK(body["notice"] == "raised");
  CHECK(body["times_raised"] == 3);
  CHECK(body["incident"]["id"] == "0kj3v9qa");
  CHECK(notices[1].due == garden.now);
}

TEST_CASE("an id is of at most 64 letters, digits and dashes, whatever the hook is called") {
  const auto id = notice_id("0kj3v9qa", 18'446'744'073'709'551'615U, std::string(64, 'X') + "._");
  CHECK(id.size() <= 64);
  CHECK(std::ranges::all_of(id, [](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-'; }));
}

TEST_CASE("the first notice that a hook gets of an incident says raised, though the incident has only changed") {
  Planning garden;
  garden.hook("desk").kinds = {"toner-low"};
  garden.configure();
  CHECK(garden.happen("a", What::raised, [](Incident& it) { it.kind = "marker-supply-low"; }).empty());
  garden.happen("a", What::changed, [](Incident& it) { it.kind = "toner-low"; });
  garden.happen("a", What::changed, [](Incident& it) { it.kind = "toner-empty"; });
  garden.happen("a", What::cleared);
  CHECK(garden.deliver() == Texts{"a raised", "a changed", "a cleared"});
  CHECK(garden.happen("a", What::changed).empty());
}

TEST_CASE("an incident that is raised again under its id is told as raised again, with how often it was") {
  Planning garden;
  garden.hook("desk");
  garden.configure();
  garden.happen("a", What::raised);
  garden.happen("a", What::cleared);
  CHECK(garden.deliver() == Texts{"a raised", "a cleared"});
  const auto again = garden.happen("a", What::raised, [](Incident& it) { it.times_raised = 2; });
  REQUIRE(again.size() == 1);
  CHECK(nlohmann::json::parse(again[0].body)["times_raised"] == 2);
  garden.happen("a", What::cleared);
  CHECK(garden.deliver() == Texts{"a raised", "a cleared"});
}

TEST_CASE("a hook is told once that an incident comes and goes") {
  // While it chatters, the incident stays raised: one change says so, and its end is the next.
  Planning garden;
  garden.hook("desk");
  garden.configure();
  garden.happen("a", What::raised);
  const auto change = garden.happen("a", What::changed, [](Incident& it) { it.chattering = true; });
  REQUIRE(change.size() == 1);
  CHECK(nlohmann::json::parse(change[0].body)["incident"]["chattering"] == true);
  garden.happen("a", What::cleared);
  CHECK(garden.deliver() == Texts{"a raised", "a changed", "a cleared"});
}

TEST_CASE("a hook that was not told of the raising is not told of the clearing") {
  Planning garden;
  garden.hook("desk").severity = Severity::critical;
  garden.configure();
  garden.happen("a", What::raised);
  garden.happen("a", What::cleared);
  CHECK(garden.outbox.empty());
}

TEST_CASE("a hook that does not want to hear of clearings is told of the next raising all the same") {
  Planning garden;
  garden.hook("desk").tell_cleared = false;
  garden.configure();
  for (int i = 0; i < 2; ++i) {
    garden.happen("a", What::raised);
    garden.happen("a", What::cleared);
  }
  CHECK(garden.deliver() == Texts{"a raised", "a raised"});
}

TEST_CASE("an operator's action is told to those who were told before, but not by mail") {
  Planning garden;
  garden.hook("desk");
  garden.hook("letter").type = config::Hook::Type::mail;
  garden.hook("choosy").severity = Severity::critical;
  garden.configure();
  garden.happen("a", What::raised);
  const auto notices = garden.acted("a", OperatorState::ack);
  REQUIRE(notices.size() == 1);
  CHECK(notices[0].hook == "desk");
  CHECK(notices[0].reason == Reason::operator_action);
  CHECK(nlohmann::json::parse(notices[0].body)["notice"] == "operator-action");
}

TEST_CASE("what is proved is told to nobody") {
  Planning garden;
  garden.hook("desk");
  garden.configure();
  garden.happen("a", What::raised);
  garden.happen("a", What::cleared);
  garden.deliver();
  CHECK(garden.happen("a", What::proved).empty());
}

TEST_CASE("what is shelved is not told until it comes back, but for its clearing") {
  Planning garden;
  garden.hook("desk");
  garden.hook("letter").type = config::Hook::Type::mail;
  garden.configure();
  garden.happen("a", What::raised);
  garden.happen("b", What::raised);
  CHECK(garden.deliver().size() == 4);
  garden.acted("a", OperatorState::shelved);
  garden.acted("b", OperatorState::closed);
  garden.deliver();
  garden.now += 1min;
  CHECK(garden.happen("a", What::changed).empty());
  CHECK(garden.happen("b", What::cleared).size() == 2);
  garden.now += 1min;
  garden.acted("a", OperatorState::none);
  CHECK(garden.waiting() == Texts{"b cleared", "b cleared", "a operator-action", "a changed"});  // the last by mail
}

TEST_CASE("what is raised in a maintenance window is told as raised once the window is over") {
  Planning garden;
  garden.hook("desk");
  garden.configure();
  CHECK(garden.happen("a", What::raised, [](Incident& it) { it.planned = true; }).empty());
  CHECK(garden.happen("b", What::raised, [](Incident& it) { it.planned = true; }).empty());
  CHECK(garden.happen("b", What::cleared).empty());
  garden.happen("a", What::changed, [](Incident& it) { it.planned = false; });
  garden.happen("a", What::cleared);
  CHECK(garden.deliver() == Texts{"a raised", "a cleared"});
}

TEST_CASE("what waits for a hook that is gone is dropped, and its other hooks are told") {
  Planning garden;
  garden.hook("desk");
  garden.hook("porter");
  garden.configure();
  garden.happen("a", What::raised);
  garden.config.hooks.pop_back();
  const auto dropped = garden.planner.configure(garden.config);
  REQUIRE(dropped.size() == 1);
  CHECK(dropped[0].hook == "porter");
  CHECK(dropped[0].state == Notice::State::dropped);
  garden.keep(dropped);
  garden.happen("a", What::cleared);
  CHECK(garden.deliver() == Texts{"a raised", "a cleared"});
}

TEST_CASE("a raising that was given up is told by the next notice, or the clearing is told to nobody") {
  Planning garden;
  garden.hook("desk");
  garden.configure();
  garden.happen("a", What::raised);
  garden.happen("b", What::raised);
  garden.happen("b", What::changed, [](Incident& it) { it.summary = "Now worse."; });
  garden.happen("a", What::cleared);
  garden.keep(garden.planner.settled(Notice(garden.outbox[1]), garden.now));  // not delivered
  garden.keep(garden.planner.settled(Notice(garden.outbox[2]), garden.now));
  garden.outbox.erase(1);
  garden.outbox.erase(2);
  CHECK(garden.waiting() == Texts{"b raised"});
  const auto body = nlohmann::json::parse(garden.outbox[3].body);
  CHECK(body["notice"] == "raised");
  CHECK(body["incident"]["summary"] == "Now worse.");
}

TEST_CASE("all that told a raising was given up: the next change says raised, a clearing is not told") {
  Planning garden;
  garden.hook("desk");
  garden.configure();
  garden.happen("a", What::raised);
  garden.happen("b", What::raised);
  garden.deliver(Notice::State::parked);
  CHECK(garden.happen("a", What::cleared).empty());
  garden.restart();
  CHECK(garden.happen("b", What::changed).at(0).reason == Reason::raised);
}

TEST_CASE("a restart changes nothing in what is told") {
  Planning garden;
  garden.hook("desk");
  garden.configure();
  garden.happen("told", What::raised);
  garden.deliver();
  garden.happen("waits", What::raised);
  garden.restart();
  CHECK(garden.happen("told", What::raised).at(0).reason == Reason::changed);
  garden.happen("told", What::cleared);
  garden.happen("waits", What::cleared);
  garden.happen("new", What::raised);
  CHECK(garden.outbox.rbegin()->first == 6);  // numbers go on
  CHECK(garden.deliver() == Texts{"waits raised", "told changed", "told cleared", "waits cleared", "new raised"});
}

TEST_CASE("rows of a hook that is gone are dropped at start") {
  Planning garden;
  garden.hook("desk");
  garden.configure();
  garden.happen("a", What::raised);
  garden.config.hooks.front().name = "porter";
  garden.restart();
  CHECK(garden.waiting().empty());
  CHECK(garden.outbox[1].state == Notice::State::dropped);
}

TEST_CASE("too much that waits keeps new incidents and changes out, never a clearing") {
  Planning garden;
  garden.planner = Planner(2);
  garden.hook("desk");
  garden.configure();
  garden.happen("a", What::raised);
  garden.happen("b", What::raised);
  CHECK(garden.happen("c", What::raised).empty());
  CHECK(garden.happen("a", What::changed).empty());
  CHECK(garden.planner.counters().refused == 2);
  garden.happen("a", What::cleared);
  garden.happen("c", What::cleared);
  CHECK(garden.deliver() == Texts{"a raised", "b raised", "a cleared"});
}

// The receiver's view of one incident at one hook: raised opens, cleared closes, nothing else comes while closed.
struct Receiver {
  bool open = false;
  std::uint64_t last = 0;
  void take(const Notice& notice) {
    INFO(notice.id << " " << to_text(notice.reason));
    CHECK(notice.number > last);
    last = notice.number;
    const bool opens = notice.reason == Reason::raised || notice.reason == Reason::escalated;
    CHECK(open == !opens);
    open = notice.reason != Reason::cleared;
  }
};

TEST_CASE("whatever happens, each receiver is told in order, of raised first, and of cleared if and only if it was") {
  for (unsigned seed = 1; seed <= 60; ++seed) {
    INFO("seed " << seed);
    std::mt19937 random(seed);
    const auto pick = [&](int below) { return static_cast<int>(random() % static_cast<unsigned>(below)); };
    Planning garden;
    garden.hook("plain");
    garden.hook("patient").min_duration = 5min;
    auto& night = garden.hook("night");
    night.quiet = {{std::chrono::minutes{9 * 60}, std::chrono::minutes{10 * 60}}};
    night.remind_every = 7min;
    garden.hook("chief").escalate_after = 6min;
    garden.hook("letter").type = config::Hook::Type::mail;
    garden.hook("collected").digest = 4min;
    garden.configure();
    std::map<std::pair<std::string, std::string>, Receiver> receivers;
    for (int step = 0; step < 120; ++step) {
      const std::string id(1, static_cast<char>('a' + pick(3)));
      auto& it = garden.incident(id);
      const bool raised = it.state == Incident::State::raised && !it.changes.empty();
      garden.now += std::chrono::seconds{pick(200)};
      switch (pick(8)) {
        case 0:
        case 1:
          if (!raised) garden.happen(id, What::raised, [&](Incident& one) { one.planned = pick(5) == 0; });
          break;
        case 2:
          if (raised) garden.happen(id, What::cleared);
          break;
        case 3:
          if (raised)
            garden.happen(id, What::changed, [&](Incident& one) {
              one.planned = false;
              one.severity = pick(3) == 0 ? Severity::critical : Severity::major;
            });
          break;
        case 4:
          if (raised) garden.acted(id, static_cast<OperatorState>(pick(4)));
          break;
        case 5:
          if (pick(4) == 0) garden.restart();
          break;
        default:
          break;
      }
      garden.tick();
      // Deliver some of what is due, each line in order.
      std::set<std::pair<std::string, std::string>> blocked;
      std::vector<std::uint64_t> numbers;
      for (const auto& [number, notice] : garden.outbox)
        if (notice.state == Notice::State::waiting) numbers.push_back(number);
      for (const auto number : numbers) {
        auto& notice = garden.outbox[number];
        const std::pair line(notice.hook, notice.incident);
        if (notice.state != Notice::State::waiting || blocked.contains(line)) continue;
        if (notice.due > garden.now || pick(3) == 0) {
          blocked.insert(line);
          continue;
        }
        receivers[line].take(notice);
        notice.state = Notice::State::delivered;
        garden.keep(garden.planner.settled(Notice(notice), garden.now));
      }
    }
    // At the end everything is cleared and delivered: nobody is left with something open, if they hear of clearings.
    for (auto& [id, it] : garden.incidents)
      if (it.state == Incident::State::raised && !it.changes.empty()) garden.happen(id, What::cleared);
    garden.now += 24h;
    for (auto& [number, notice] : garden.outbox)
      if (notice.state == Notice::State::waiting) receivers[{notice.hook, notice.incident}].take(notice);
    for (const auto& [line, receiver] : receivers) {
      INFO(line.first << " " << line.second);
      CHECK_FALSE(receiver.open);
    }
  }
}

}  // namespace
}  // namespace frisket::hooks
