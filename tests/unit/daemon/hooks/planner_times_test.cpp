// When it is told: least durations, quiet times, digests, reminders, escalations.
#include "planning.h"

namespace frisket::hooks {
namespace {

using std::chrono::minutes;

config::QuietHours from_to(int from, int to) { return {minutes{from * 60}, minutes{to * 60}}; }

TEST_CASE("what is cleared before its least duration is over is told to nobody") {
  Planning garden;
  garden.hook("desk").min_duration = 5min;
  garden.configure();
  garden.happen("short", What::raised);
  garden.happen("long", What::raised);
  garden.now += 4min;
  garden.happen("short", What::changed);
  garden.happen("long", What::changed);
  CHECK(garden.deliver().empty());
  const auto dropped = garden.happen("short", What::cleared);
  REQUIRE(dropped.size() == 2);
  CHECK(dropped[0].state == Notice::State::dropped);
  CHECK(dropped[1].state == Notice::State::dropped);
  garden.now += 1min;
  CHECK(garden.deliver() == Texts{"long raised", "long changed"});
}

TEST_CASE("what is due is told though it is cleared before the receiver could be reached") {
  Planning garden;
  garden.hook("desk").min_duration = 5min;
  garden.configure();
  garden.happen("a", What::raised);
  garden.now += 5min;
  garden.happen("a", What::cleared);
  CHECK(garden.deliver() == Texts{"a raised", "a cleared"});
}

TEST_CASE("in quiet times only the severe is told, the rest at their end, and what is over by then not at all") {
  Planning garden;
  garden.hook("desk").quiet = {from_to(22, 6)};
  garden.configure();
  garden.now = at("2026-03-02T23:00:00Z");
  garden.happen("minor", What::raised);
  garden.happen("over", What::raised);
  garden.happen("severe", What::raised, [](Incident& it) { it.severity = Severity::critical; });
  CHECK(garden.deliver() == Texts{"severe raised"});
  garden.now += 1h;
  garden.happen("over", What::cleared);
  garden.happen("severe", What::cleared);
  CHECK(garden.deliver() == Texts{"severe cleared"});
  garden.now = at("2026-03-03T05:59:59.999Z");
  CHECK(garden.deliver().empty());
  garden.now = at("2026-03-03T06:00:00Z");
  CHECK(garden.deliver() == Texts{"minor raised"});
}

TEST_CASE("what becomes severe in a quiet time is told then, its raising first") {
  Planning garden;
  garden.hook("desk").quiet = {from_to(22, 6)};
  garden.configure();
  garden.now = at("2026-03-02T23:00:00Z");
  garden.happen("a", What::raised);
  garden.now += 1h;
  const auto notices = garden.happen("a", What::changed, [](Incident& it) { it.severity = Severity::critical; });
  CHECK(notices.size() == 2);  // the raising is due earlier now
  CHECK(garden.deliver() == Texts{"a raised", "a changed"});
}

TEST_CASE("what is shelved before it was due is not told, and raised when it comes back") {
  Planning garden;
  garden.hook("desk").min_duration = 5min;
  garden.configure();
  garden.happen("a", What::raised);
  garden.now += 1min;
  garden.acted("a", OperatorState::shelved);
  garden.now += 1h;
  CHECK(garden.waiting().empty());
  garden.acted("a", OperatorState::none);
  garden.now += 5min;
  CHECK(garden.deliver() == Texts{"a raised"});
}

TEST_CASE("a digest collects from the first notice on, what is over by its end as well") {
  Planning garden;
  garden.hook("letter").digest = 1h;
  garden.configure();
  garden.happen("a", What::raised);
  garden.now += 30min;
  garden.happen("b", What::raised);
  garden.happen("b", What::cleared);
  garden.now += 29min;
  CHECK(garden.deliver().empty());
  garden.now += 1min;
  CHECK(garden.deliver() == Texts{"a raised", "b raised", "b cleared"});
  garden.now += 1min;
  garden.happen("a", What::cleared);
  garden.now += 59min;
  CHECK(garden.deliver().empty());
  garden.now += 1min;
  CHECK(garden.deliver() == Texts{"a cleared"});
}

TEST_CASE("reminders come at their interval as long as nobody acts, and go on after a restart") {
  Planning garden;
  garden.hook("desk").remind_every = 1h;
  garden.configure();
  garden.happen("a", What::raised);
  garden.deliver();
  CHECK(garden.planner.next_due() == garden.now + 1h);
  garden.now += 59min;
  CHECK(garden.tick().empty());
  garden.now += 1min;
  REQUIRE(garden.tick().size() == 1);
  CHECK(garden.tick().empty());
  CHECK(garden.deliver() == Texts{"a reminder"});
  garden.restart();
  garden.now += 1h;
  garden.tick();
  CHECK(garden.deliver() == Texts{"a reminder"});
  garden.acted("a", OperatorState::ack);
  garden.deliver();
  garden.now += 10h;
  CHECK(garden.tick().empty());
  CHECK_FALSE(garden.planner.next_due());
}

TEST_CASE("reminders do not pile up while the receiver is away") {
  Planning garden;
  garden.hook("desk").remind_every = 1h;
  garden.configure();
  garden.happen("a", What::raised);
  garden.deliver();
  for (int hour = 0; hour < 10; ++hour) {
    garden.now += 1h;
    garden.tick();
  }
  CHECK(garden.waiting() == Texts{"a reminder"});
  garden.deliver();
  garden.now += 59min;
  CHECK(garden.tick().empty());
}

TEST_CASE("who is called when nobody acts is told only then, and hears the end of it") {
  Planning garden;
  garden.hook("chief").escalate_after = 30min;
  garden.configure();
  garden.happen("seen", What::raised);
  garden.happen("unseen", What::raised);
  garden.now += 10min;
  CHECK(garden.acted("seen", OperatorState::ack).empty());
  garden.restart();
  garden.now += 20min;
  garden.tick();
  CHECK(garden.deliver() == Texts{"unseen escalated"});
  garden.restart();
  CHECK(garden.tick().empty());
  garden.happen("seen", What::cleared);
  garden.happen("unseen", What::cleared);
  CHECK(garden.deliver() == Texts{"unseen cleared"});
}

TEST_CASE("an escalation that a quiet time holds is called off when somebody acts") {
  Planning garden;
  auto& chief = garden.hook("chief");
  chief.escalate_after = 30min;
  chief.quiet = {from_to(22, 6)};
  garden.configure();
  garden.now = at("2026-03-02T23:00:00Z");
  garden.happen("a", What::raised);
  garden.now += 30min;
  garden.tick();
  CHECK(garden.waiting() == Texts{"a escalated"});
  garden.acted("a", OperatorState::ack);
  CHECK(garden.waiting().empty());
}

TEST_CASE("quiet times are those of the incident's site") {
  Planning garden;
  garden.hook("desk").quiet = {from_to(22, 6)};
  garden.configure();
  garden.now = at("2026-03-02T14:00:00Z");  // 23:00 in Tokyo
  garden.happen("here", What::raised);
  garden.happen("there", What::raised, [](Incident& it) { it.site = "arboretum"; });
  CHECK(garden.deliver() == Texts{"here raised"});
  garden.now = at("2026-03-02T21:00:00Z");
  CHECK(garden.deliver() == Texts{"there raised"});
}

}  // namespace
}  // namespace frisket::hooks
