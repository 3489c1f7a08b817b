// A test page from the question which way it goes to the verdict, with printers that do as they are told.
#include "daemon/service/test_print.h"

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/io_context.hpp>
#include <catch2/catch.hpp>
#include <map>

#include "simulated_clock.h"

namespace asio = boost::asio;
using namespace std::chrono_literals;
using namespace frisket;
using namespace frisket::service;
using http::TestPrintOutcome;
using http::TestVerdict;
using model::JobState;
using Kind = model::Error::Kind;
using Catch::Matchers::Contains;

namespace {

model::Job job_in(JobState state, std::vector<std::string> reasons = {}) {
  model::Job job;
  job.id = 17;
  job.state = state;
  job.reasons = std::move(reasons);
  return job;
}

model::Error error(Kind kind, std::string what) { return {kind, "printing", "", std::move(what)}; }

// What happens to the job and to the counter, by the time since the page was handed over.
struct Script {
  std::map<std::chrono::seconds, model::Result<model::Job>> job{{0s, job_in(JobState::processing)}};
  std::map<std::chrono::seconds, std::uint64_t> count{{0s, 100}};  // empty: none are counted
  std::optional<model::Error> wanted;
  std::optional<model::Error> sent;
  bool has_jobs = true;
  bool is_polled = true;
  std::vector<std::string> reasons;  // of the printer
};

struct World {
  asio::io_context context;
  testing::SimulatedClock clock{context};
  Script script;
  std::optional<model::SteadyTime> sent_at;
  std::optional<PageCounter::Count> read;  // what the last poll brought
  std::vector<std::string> sent;           // format and octets
  int polls = 0;
  int looks = 0;

  std::chrono::seconds since_sent() const {
    return sent_at ? std::chrono::duration_cast<std::chrono::seconds>(clock.steady_now() - *sent_at) : 0s;
  }
  template <class T>
  const T& now_in(const std::map<std::chrono::seconds, T>& happens) const {
    return std::prev(happens.upper_bound(since_sent()))->second;
  }

  struct Way final : TestPageWay {
    explicit Way(World& world) : world_(world) {}
    TestPrintOutcome::Way kind() const override { return TestPrintOutcome::Way::own_service; }
    std::string to() const override { return "ipp://127.0.0.1/ipp/print"; }
    Awaitable<model::Result<PageWanted>> wanted() override {
      if (world_.script.wanted) co_return *world_.script.wanted;
      PageWanted page;
      co_return page;
    }
    Awaitable<model::Result<std::optional<std::int32_t>>> send(std::string name, std::string format,
                                                               std::string octets) override {
      if (world_.script.sent) co_return *world_.script.sent;
      world_.sent = {std::move(name), std::move(format), std::move(octets)};
      world_.sent_at = world_.clock.steady_now();
      std::optional<std::int32_t> id;
      if (world_.script.has_jobs) id = 17;
      co_return id;
    }
    Awaitable<model::Result<model::Job>> look(std::int32_t id) override {
      CHECK(id == 17);
      ++world_.looks;
      co_return world_.now_in(world_.script.job);
    }
    Awaitable<std::vector<std::string>> reasons() override { co_return world_.script.reasons; }
    World& world_;
  };

  struct Counter final : PageCounter {
    explicit Counter(World& world) : world_(world) {}
    std::optional<Count> last() const override { return world_.read; }
    bool read_soon() override {
      if (!world_.script.is_polled) return false;
      ++world_.polls;
      asio::co_spawn(world_.context, world_.poll(), asio::detached);
      return true;
    }
    World& world_;
  };

  struct Maker final : PageMaker {
    asio::awaitable<model::Result<std::string>> make(testpage::PageContent content, PageWanted) override {
      co_return "page for " + content.device;
    }
  };

  // A poll takes a second.
  asio::awaitable<void> poll() {
    co_await clock.sleep_until(clock.steady_now() + 1s);
    PageCounter::Count count{std::nullopt, clock.wall_now()};
    if (!script.count.empty()) count.impressions = now_in(script.count);
    read = count;
  }

  asio::awaitable<void> work(http::TestPrint asked) {
    testpage::PageContent content{"herbarium-copier", "", "", "", "P1"};
    outcome = co_await test->run(std::move(asked), std::move(content), *sleeper);
    took = since_sent();
  }

  std::unique_ptr<TestPageWay> way() { return std::make_unique<Way>(*this); }

  // The outcome after as much time as it may take at most.
  TestPrintOutcome printed(bool dry_run = false) {
    start(dry_run);
    clock.advance(10min);
    REQUIRE(outcome);
    REQUIRE(*outcome);
    return **outcome;
  }

  void start(bool dry_run = false) {
    ways.push_back(way());
    test.emplace(clock, maker, counter, std::move(ways));
    asio::co_spawn(context, work({"herbarium-copier", "", dry_run}), asio::detached);
    clock.settle();
  }

  Counter counter{*this};
  Maker maker;
  std::vector<std::unique_ptr<TestPageWay>> ways;
  std::unique_ptr<Sleeper> sleeper = clock.make_sleeper(context.get_executor());
  std::optional<TestPrintRun> test;
  std::optional<model::Result<TestPrintOutcome>> outcome;
  std::chrono::seconds took{};
};

}  // namespace

TEST_CASE("a job that is completed and a counter that rose are a printed page") {
  World world;
  world.script.job.emplace(6s, job_in(JobState::completed));
  world.script.count.emplace(5s, 101);
  const auto outcome = world.printed();
  CHECK(outcome.verdict == TestVerdict::printed);
  CHECK(outcome.impressions_before == 100);
  CHECK(outcome.impressions_after == 101);
  CHECK(outcome.job == 17);
  CHECK(outcome.page_id == "P1");
  CHECK(world.sent == std::vector<std::string>{"Frisket test page P1", "application/pdf", "page for herbarium-copier"});
  CHECK(world.took == 8s);  // completed is seen at 6 s, the poll that it asks for brings the count a second later
  CHECK(outcome.said == "The page was printed: the page counter rose from 100 to 101.");
}

TEST_CASE("pages that others printed before ours do not pass for ours") {
  World world;
  world.read = PageCounter::Count{90, world.clock.wall_now()};  // known from a poll of before
  world.clock.advance(20s);
  world.script.job.emplace(6s, job_in(JobState::completed));
  const auto outcome = world.printed();
  CHECK(outcome.verdict == TestVerdict::completed_uncounted);
  CHECK(outcome.impressions_before == 100);
}

TEST_CASE("a counter that moves late is waited for, for a minute; then the page counts as completed only") {
  World late;
  late.script.job.emplace(4s, job_in(JobState::completed));
  late.script.count.emplace(40s, 101);
  CHECK(late.printed().verdict == TestVerdict::printed);
  CHECK(late.took < 60s);
  World never;
  never.script.job.emplace(4s, job_in(JobState::completed));
  const auto outcome = never.printed();
  CHECK(outcome.verdict == TestVerdict::completed_uncounted);
  CHECK(never.took == 64s);
  CHECK(never.polls <= 8);  // the printer is not pestered
  CHECK_THAT(outcome.said, Contains("its page counter stayed at 100") && Contains("Look whether it is there"));
}

TEST_CASE("where no pages are counted, or nobody polls, a completed job is the verdict at once") {
  World uncounted;
  uncounted.script.job.emplace(4s, job_in(JobState::completed));
  uncounted.script.count.clear();
  CHECK(uncounted.printed().verdict == TestVerdict::completed_uncounted);
  CHECK(uncounted.took == 4s);
  World unpolled;
  unpolled.script.job.emplace(4s, job_in(JobState::completed));
  unpolled.script.is_polled = false;
  CHECK(unpolled.printed().verdict == TestVerdict::completed_uncounted);
  CHECK(unpolled.took == 4s);
}

TEST_CASE("a counter that starts again with the printer has not risen") {
  World world;
  world.script.job.emplace(4s, job_in(JobState::completed));
  world.script.count.emplace(3s, 1);
  CHECK(world.printed().verdict == TestVerdict::completed_uncounted);
}

TEST_CASE("a printer that stops for a moment has not stopped; one that stays so has, with its reasons") {
  World moment;
  moment.script.job.emplace(4s, job_in(JobState::processing_stopped, {"printer-stopped"}));
  moment.script.job.emplace(20s, job_in(JobState::processing));
  moment.script.job.emplace(24s, job_in(JobState::completed));
  moment.script.count.emplace(24s, 101);
  CHECK(moment.printed().verdict == TestVerdict::printed);
  World stays;
  stays.script.job.emplace(4s, job_in(JobState::processing_stopped, {"printer-stopped"}));
  stays.script.reasons = {"media-empty", "printer-stopped"};
  const auto outcome = stays.printed();
  CHECK(outcome.verdict == TestVerdict::stopped);
  CHECK(stays.took == 24s);
  CHECK(outcome.reasons == std::vector<std::string>{"printer-stopped", "media-empty"});
  CHECK(outcome.said == "The printer has stopped (printer-stopped, media-empty). The page waits in it as job 17.");
}

TEST_CASE("what became of the job is the verdict: aborted, canceled, or not over in three minutes") {
  World aborted;
  aborted.script.job.emplace(2s, job_in(JobState::aborted, {"document-format-error"}));
  CHECK(aborted.printed().verdict == TestVerdict::aborted);
  CHECK_THAT((*aborted.outcome)->said, Contains("(document-format-error)"));
  World canceled;
  canceled.script.job.emplace(2s, job_in(JobState::canceled));
  CHECK(canceled.printed().verdict == TestVerdict::canceled);
  World slow;
  slow.script.reasons = {"connecting-to-device"};
  const auto outcome = slow.printed();
  CHECK(outcome.verdict == TestVerdict::timed_out);
  CHECK(slow.took == 180s);
  CHECK(slow.looks == 91);  // every two seconds
  CHECK(outcome.reasons == std::vector<std::string>{"connecting-to-device"});
}

TEST_CASE("a printer that is not heard for a while is asked again; one that forgot the job is judged by its counter") {
  World deaf;
  deaf.script.job.emplace(4s, error(Kind::silent, "no answer"));
  deaf.script.job.emplace(90s, job_in(JobState::completed));
  deaf.script.count.emplace(60s, 101);
  CHECK(deaf.printed().verdict == TestVerdict::printed);
  World gone;
  gone.script.job.emplace(4s, error(Kind::silent, "no answer"));
  CHECK(gone.printed().verdict == TestVerdict::timed_out);
  CHECK_THAT((*gone.outcome)->said, Contains("At the last look: no answer."));
  World forgot;
  forgot.script.job.emplace(4s, error(Kind::invalid, "client-error-not-found"));
  forgot.script.count.emplace(4s, 101);
  CHECK(forgot.printed().verdict == TestVerdict::printed);
  World lost;
  lost.script.job.emplace(4s, error(Kind::invalid, "client-error-not-found"));
  CHECK(lost.printed().verdict == TestVerdict::timed_out);
  CHECK(lost.took < 180s);
}

TEST_CASE("a way without jobs is judged by the counter alone") {
  World counted;
  counted.script.has_jobs = false;
  counted.script.count.emplace(12s, 101);
  CHECK(counted.printed().verdict == TestVerdict::printed);
  CHECK(counted.looks == 0);
  World uncounted;
  uncounted.script.has_jobs = false;
  CHECK(uncounted.printed().verdict == TestVerdict::completed_uncounted);
}

TEST_CASE("a printer that is not reached, or refuses the job, has not taken it") {
  World away;
  away.script.wanted = error(Kind::silent, "connection refused");
  CHECK(away.printed().verdict == TestVerdict::not_taken);
  CHECK((*away.outcome)->said == "The printer did not take the page: connection refused.");
  World refuses;
  refuses.script.sent = error(Kind::refused, "client-error-not-authorized");
  CHECK(refuses.printed().verdict == TestVerdict::not_taken);
  World broke;
  broke.script.sent = error(Kind::silent, "the connection broke off");
  CHECK(broke.printed().verdict == TestVerdict::not_taken);
  CHECK_THAT((*broke.outcome)->said, Contains("It may print it all the same"));
}

TEST_CASE("a printer that takes nothing we can make is an error, and the next way is tried before") {
  World none;
  none.script.wanted = error(Kind::invalid, "neither application/pdf nor image/pwg-raster");
  none.start();
  none.clock.advance(1min);
  REQUIRE(none.outcome);
  REQUIRE_FALSE(*none.outcome);
  CHECK(none.outcome->error().kind == Kind::invalid);

  World second;
  World deaf_to_it;  // only its way is used
  deaf_to_it.script.wanted = none.script.wanted;
  second.ways.push_back(deaf_to_it.way());
  second.script.job.emplace(2s, job_in(JobState::completed));
  CHECK(second.printed().verdict == TestVerdict::completed_uncounted);
  CHECK(second.sent_at);
}

TEST_CASE("a dry run says the way and the format, and prints nothing") {
  World world;
  const auto outcome = world.printed(true);
  CHECK_FALSE(outcome.verdict);
  CHECK_FALSE(world.sent_at);
  CHECK(world.polls == 0);
  CHECK(outcome.said ==
        "A test page in application/pdf would go over IPP to the printer's own service, ipp://127.0.0.1/ipp/print.");
  World away;
  away.script.wanted = error(Kind::silent, "connection refused");
  away.start(true);
  REQUIRE(away.outcome);
  CHECK_FALSE(*away.outcome);
}

TEST_CASE("a page that is followed ends at once when it is woken, with a verdict") {
  World world;
  world.start();
  world.clock.advance(30s);
  REQUIRE_FALSE(world.outcome);
  world.sleeper->wake();
  world.clock.settle();
  REQUIRE(world.outcome);
  CHECK((*world.outcome)->verdict == TestVerdict::timed_out);
}
