#include "daemon/service/queue_cure.h"

#include <catch2/catch.hpp>
#include <set>

#include "pending.h"
#include "simulated_clock.h"

namespace {

namespace asio = boost::asio;
using namespace std::chrono_literals;
using namespace frisket;
using namespace frisket::service;
using http::QueueAct;
using http::QueueActOutcome;
using model::Error;
using model::Job;
using model::JobState;
using model::PrinterState;
using What = QueueAct::What;

Job job(std::int32_t id, JobState state) {
  Job made;
  made.id = id;
  made.state = state;
  made.personal = {"salaries", "fern"};
  return made;
}

// A queue that obeys: what is at its head prints as soon as nothing keeps it from that.
struct ObedientQueue final : QueueHand {
  ObedientQueue(Clock& clock) : clock_(clock) {
    queue.name = "seeds";
    queue.state = PrinterState::processing;
    queue.jobs_known = true;
    queue.jobs = {job(7, JobState::processing), job(8, JobState::pending), job(9, JobState::pending_held)};
  }

  Awaitable<model::QueueReading> read() override {
    ++reads;
    model::QueueReading reading{"seeds", {}, reach, "no answer within 8 s", nullptr};
    if (reach == model::QueueReach::answered) reading.snapshot = std::make_shared<model::QueueSnapshot>(queue);
    co_return reading;
  }
  Awaitable<model::Result<bool>> offers(What) override { co_return offered; }
  Awaitable<Outcome> pause() override {
    done.push_back("pause");
    queue.state = PrinterState::stopped;
    co_return model::Done{};
  }
  Awaitable<Outcome> resume() override {
    done.push_back("resume");
    queue.state = PrinterState::processing;
    co_return model::Done{};
  }
  Awaitable<Outcome> cancel(std::int32_t id) override { return take("cancel", id); }
  Awaitable<Outcome> move(std::int32_t id, std::string to) override { return take("move to " + to, id); }

  Awaitable<Outcome> take(std::string what, std::int32_t id) {
    done.push_back(what + " " + std::to_string(id));
    if (slow > 0s) co_await clock_.sleep_until(clock_.steady_now() + slow);
    if (trouble) co_return *trouble;
    if (stuck.contains(id)) co_return Error{Error::Kind::invalid, "", "", "client-error-not-possible"};
    std::erase_if(queue.jobs, [&](const Job& each) { return each.id == id; });
    if (!queue.jobs.empty() && flows && queue.jobs[0].state == JobState::pending)
      queue.jobs[0].state = JobState::processing;
    co_return model::Done{};
  }

  Clock& clock_;
  model::QueueSnapshot queue;
  model::QueueReach reach = model::QueueReach::answered;
  bool offered = true;
  bool flows = true;
  std::optional<Error> trouble;
  std::set<std::int32_t> stuck;
  std::chrono::seconds slow{0};
  std::vector<std::string> done;
  int reads = 0;
};

struct World {
  asio::io_context context;
  testing::SimulatedClock clock{context};
  ObedientQueue queue{clock};
  std::unique_ptr<Sleeper> sleeper = clock.make_sleeper(context.get_executor());

  model::Result<QueueActOutcome> act(What what, bool dry_run = false, std::optional<std::int32_t> id = std::nullopt) {
    QueueAct wanted;
    wanted.what = what;
    wanted.queue = "seeds";
    wanted.job = id;
    wanted.to = "moss";
    wanted.dry_run = dry_run;
    testing::Pending<model::Result<QueueActOutcome>> outcome(
        context, cure(queue, clock, *sleeper, wanted, "ipp://print/printers/moss"));
    for (int i = 0; i < 100 && !outcome.done(); ++i) clock.advance(1s);
    return outcome.get();
  }
};

std::vector<std::int32_t> ids(const QueueActOutcome& outcome) {
  std::vector<std::int32_t> found;
  for (const auto& each : outcome.jobs) found.push_back(each.job.id);
  return found;
}

using Ids = std::vector<std::int32_t>;
using Words = std::vector<std::string>;

}  // namespace

TEST_CASE("a dry run names what would go and does nothing") {
  World world;
  const auto head = world.act(What::cancel_job, true);
  REQUIRE(head);
  CHECK(ids(*head) == Ids{7});
  CHECK(head->said == "Job 7 would be cancelled.");
  const auto waiting = world.act(What::cancel_waiting, true);
  CHECK(ids(*waiting) == Ids{8, 9});
  CHECK(waiting->said == "2 jobs would be cancelled.");
  CHECK(world.act(What::move_waiting, true)->said == "2 jobs would be moved to moss.");
  for (const auto what : {What::pause, What::resume})
    CHECK(world.act(what, true)->said.find("would") != std::string::npos);
  CHECK(world.queue.done.empty());
  CHECK(head->afterwards.empty());
}

TEST_CASE("the job at the head is cancelled, and the next one is seen to print") {
  World world;
  const auto outcome = world.act(What::cancel_job);
  REQUIRE(outcome);
  CHECK(world.queue.done == Words{"cancel 7"});
  CHECK(outcome->jobs[0].done);
  CHECK(outcome->said == "Job 7 is cancelled.");
  CHECK(outcome->afterwards == "Job 8 is being processed; 1 job waits.");
}

TEST_CASE("a queue that goes on hanging is looked at for a while, and said to hang") {
  World world;
  world.queue.flows = false;
  const auto outcome = world.act(What::cancel_job);
  CHECK(outcome->afterwards == "No job is being processed yet; 2 jobs wait.");
  CHECK(world.queue.reads == 1 + Aftercare{}.looks);
}

TEST_CASE("waking the sleeper ends the looking") {
  World world;
  world.queue.flows = false;
  world.sleeper->wake();
  CHECK(world.act(What::cancel_job)->afterwards.empty());
  CHECK(world.queue.reads == 1);
}

TEST_CASE("a named job is the one, and one that the queue does not have is refused before anything is done") {
  World world;
  CHECK(ids(*world.act(What::cancel_job, true, 9)) == Ids{9});
  const auto unknown = world.act(What::cancel_job, false, 99);
  REQUIRE_FALSE(unknown);
  CHECK(unknown.error().kind == Error::Kind::invalid);
  CHECK(unknown.error().what == "the queue has no job 99 that is not over");
  world.queue.queue.jobs.clear();
  CHECK_FALSE(world.act(What::cancel_job));
  CHECK(world.queue.done.empty());
}

TEST_CASE("of a queue that does not list its jobs none is taken for waiting") {
  World world;
  world.queue.queue.jobs_known = false;
  world.queue.queue.jobs.clear();
  CHECK_FALSE(world.act(What::cancel_waiting));
  CHECK(world.act(What::pause));
}

TEST_CASE("waiting jobs go one by one; what has gone by itself is said of that job alone") {
  World world;
  world.queue.stuck = {8};
  const auto outcome = world.act(What::cancel_waiting);
  REQUIRE(outcome);
  CHECK(world.queue.done == Words{"cancel 8", "cancel 9"});
  CHECK_FALSE(outcome->jobs[0].done);
  CHECK(outcome->jobs[0].trouble == "client-error-not-possible");
  CHECK(outcome->jobs[1].done);
  CHECK(outcome->said == "1 of 2 jobs are cancelled.");
}

TEST_CASE("what the print service refuses is asked once, not once for each job") {
  World world;
  world.queue.trouble = Error{Error::Kind::refused, "", "", "client-error-not-authorized"};
  const auto outcome = world.act(What::move_waiting);
  REQUIRE_FALSE(outcome);
  CHECK(outcome.error().kind == Error::Kind::refused);
  CHECK(world.queue.done == Words{"move to ipp://print/printers/moss 8"});
}

TEST_CASE("an act ends in bounded time, and says of which jobs it was not done") {
  World world;
  world.queue.slow = 40s;
  for (int i = 10; i < 20; ++i) world.queue.queue.jobs.push_back(job(i, JobState::pending));
  const auto outcome = world.act(What::cancel_waiting);
  REQUIRE(outcome);
  CHECK(world.queue.done.size() == 2);
  CHECK(outcome->jobs.back().trouble == "left, as the act took too long");
  CHECK(outcome->said == "2 of 12 jobs are cancelled.");
}

TEST_CASE("pausing and resuming are seen to have taken") {
  World world;
  const auto paused = world.act(What::pause);
  CHECK(paused->afterwards == "The queue stands, as asked; 2 jobs wait.");
  CHECK(world.queue.reads == 2);
  const auto resumed = world.act(What::resume);
  CHECK(resumed->afterwards == "Job 7 is being processed; 2 jobs wait.");
}

TEST_CASE("what the queue does not offer, or nobody answers to, is an error of its kind") {
  World world;
  world.queue.offered = false;
  CHECK(world.act(What::move_waiting).error().kind == Error::Kind::invalid);
  world.queue.reach = model::QueueReach::silent;
  CHECK(world.act(What::pause).error().kind == Error::Kind::silent);
  world.queue.reach = model::QueueReach::refused;
  CHECK(world.act(What::pause).error().kind == Error::Kind::refused);
  world.queue.reach = model::QueueReach::absent;
  CHECK(world.act(What::pause).error().kind == Error::Kind::invalid);
  CHECK(world.queue.done.empty());
}

TEST_CASE("nothing that is said of an act tells whose jobs they are") {
  for (const auto what : {What::cancel_job, What::cancel_waiting, What::move_waiting, What::pause}) {
    World world;
    const auto outcome = world.act(what);
    REQUIRE(outcome);
    auto texts = outcome->said + outcome->afterwards;
    for (const auto& each : outcome->jobs) texts += each.trouble;
    CHECK(texts.find("salaries") == std::string::npos);
    CHECK(texts.find("fern") == std::string::npos);
  }
}
