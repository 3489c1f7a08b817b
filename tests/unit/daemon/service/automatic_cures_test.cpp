#include "daemon/service/automatic_cures.h"

#include <catch2/catch.hpp>

namespace {

using namespace std::chrono_literals;
using namespace frisket;
using namespace frisket::service;
using incidents::Incident;
using model::AuditRecord;

const model::WallTime kNow{std::chrono::milliseconds{1'800'000'000'000}};

struct Case {
  config::Queue queue;
  Incident incident;
  incidents::QueueStatus status;
  model::QueueSnapshot snapshot;
  std::vector<AuditRecord> done;

  Case() {
    queue.name = "fern";
    queue.automatic.kinds = {"queue-stopped", "job-stuck"};
    incident.id = "i-1";
    says("queue-stopped");
    incident.queue = "fern";
    snapshot.jobs_known = true;
  }

  void says(const std::string& kind) {
    incident.kind = kind;
    incident.evidence.resize(1);
    incident.evidence[0].keyword = kind;
  }

  void stuck(std::optional<model::Seconds> age) {
    says("job-stuck");
    model::Job job;
    job.id = 7;
    job.state = model::JobState::processing;
    job.age = age;
    snapshot.jobs = {job};
  }

  void record(std::chrono::seconds ago, AuditRecord::Outcome outcome = AuditRecord::Outcome::done) {
    AuditRecord record;
    record.at = kNow - ago;
    record.who = kAutomatic;
    record.peer = kAutomaticPeer;
    record.target = "fern";
    record.outcome = outcome;
    done.push_back(record);
  }

  std::optional<http::QueueAct> act() {
    status.snapshot = std::make_shared<model::QueueSnapshot>(snapshot);
    return automatic_cure(queue, incident, status, done, kNow);
  }
};

}  // namespace

TEST_CASE("nothing is done unasked to a queue whose configuration does not name the kind") {
  Case none;
  none.queue.automatic.kinds.clear();
  CHECK_FALSE(none.act());
  Case other;
  other.queue.automatic.kinds = {"job-stuck"};
  CHECK_FALSE(other.act());
  CHECK(config::AutomaticCures{}.kinds.empty());
}

TEST_CASE("a stopped queue is resumed, with the incident as the reason") {
  const auto act = Case().act();
  REQUIRE(act);
  CHECK(act->what == http::QueueAct::What::resume);
  CHECK(act->queue == "fern");
  CHECK(act->note == "incident i-1");
  CHECK_FALSE(act->dry_run);
}

TEST_CASE("a queue that a jam has stopped is resumed as well, and one that is only jammed is not") {
  Case jammed;
  jammed.incident.kind = "media-jam";
  jammed.incident.evidence.emplace_back();
  jammed.incident.evidence[1].keyword = "media-jam";
  CHECK(jammed.act());
  jammed.incident.evidence.erase(jammed.incident.evidence.begin());
  CHECK_FALSE(jammed.act());
}

TEST_CASE("an incident that somebody has taken on, that is over, or of another queue is left alone") {
  for (const auto state :
       {incidents::OperatorState::ack, incidents::OperatorState::shelved, incidents::OperatorState::closed}) {
    Case taken;
    taken.incident.operator_state = state;
    CHECK_FALSE(taken.act());
  }
  Case over;
  over.incident.state = Incident::State::cleared;
  CHECK_FALSE(over.act());
  Case elsewhere;
  elsewhere.incident.queue = "moss";
  CHECK_FALSE(elsewhere.act());
}

TEST_CASE("only so many cures in 24 hours, failed ones among them, and never two at once") {
  Case twice;
  twice.record(23h);
  twice.record(1h, AuditRecord::Outcome::failed);
  CHECK(twice.act());
  twice.record(30min);
  CHECK_FALSE(twice.act());
  Case yesterday;
  for (int i = 0; i < 5; ++i) yesterday.record(24h + i * 1min);
  CHECK(yesterday.act());
  Case just_now;
  just_now.record(9min);
  CHECK_FALSE(just_now.act());
}

TEST_CASE("what a person did, or was done to another queue, does not count") {
  Case by_hand;
  for (int i = 0; i < 5; ++i) {
    by_hand.record(5min);
    by_hand.done.back().who = "ivy";
    by_hand.record(5min);
    by_hand.done.back().target = "moss";
    // A token may be called so; where it came from tells it apart.
    by_hand.record(5min);
    by_hand.done.back().peer = "127.0.0.1";
  }
  CHECK(by_hand.act());
}

TEST_CASE("only a job that is known to be old enough is cancelled") {
  Case old_one;
  old_one.stuck(1800s);
  const auto act = old_one.act();
  REQUIRE(act);
  CHECK(act->what == http::QueueAct::What::cancel_job);
  CHECK(act->job == 7);
  Case young;
  young.stuck(1799s);
  CHECK_FALSE(young.act());
  Case ageless;
  ageless.stuck(std::nullopt);
  CHECK_FALSE(ageless.act());
  Case gone;
  gone.says("job-stuck");
  CHECK_FALSE(gone.act());
}
