// A queue that is known by LPD only, in the words that all queues are told in.
#include "probes/lpd/queue_probe.h"

#include <catch2/catch.hpp>

#include "answers.h"
#include "server.h"
#include "simulated_clock.h"

namespace frisket::lpd {
namespace {

using namespace std::chrono_literals;
using frisket::testing::LpdServer;
using frisket::testing::Pending;
using frisket::testing::SimulatedClock;
using model::LpdReading;
using model::QueueReach;

const Target kFern{"192.0.2.9", 515, "fern"};

LpdReading answered(std::optional<std::int32_t> jobs, std::optional<bool> accepting = {}) {
  LpdReading reading;
  reading.queue = "fern";
  reading.at = model::WallTime{5min};
  reading.reach = QueueReach::answered;
  reading.jobs_listed = jobs;
  reading.accepting = accepting;
  reading.personal.lines = {"active moss 7 payslip.txt 12 bytes"};
  return reading;
}

}  // namespace

TEST_CASE("a queue that answered over LPD has a number of jobs and takes jobs or not, and nothing that was not said") {
  const auto reading = queue_reading_of(answered(3, false), "herbarium", kFern);
  CHECK(reading.queue == "herbarium");
  CHECK(reading.at == model::WallTime{5min});
  CHECK(reading.reach == QueueReach::answered);
  REQUIRE(reading.snapshot);
  const auto& said = *reading.snapshot;
  CHECK(said.name == "fern");
  CHECK(said.uri == "lpd://192.0.2.9/fern");
  CHECK(said.accepting == false);
  CHECK(said.queued_count == 3);
  CHECK_FALSE(said.state);
  CHECK_FALSE(said.jobs_known);
  CHECK(said.jobs.empty());
  CHECK(said.gaps.size() == 1);

  const auto unclear = queue_reading_of(answered(std::nullopt), "herbarium", kFern);
  CHECK_FALSE(unclear.snapshot->queued_count);
  CHECK_FALSE(unclear.snapshot->accepting);
  CHECK(unclear.snapshot->gaps.size() == 2);
}

TEST_CASE("nothing that a person could be known by leaves the private lines") {
  const auto reading = queue_reading_of(answered(1), "herbarium", kFern);
  const auto& said = *reading.snapshot;
  for (const auto& text : {said.name, said.message, said.info, said.location, said.make_and_model, reading.detail})
    CHECK(text.find("moss") == std::string::npos);
}

TEST_CASE("a queue that did not answer over LPD has its reach and why, and no snapshot") {
  for (const auto reach : {QueueReach::absent, QueueReach::silent, QueueReach::refused, QueueReach::nonsense}) {
    LpdReading reading;
    reading.reach = reach;
    reading.detail = "connection refused";
    const auto made = queue_reading_of(reading, "herbarium", kFern);
    CHECK(made.reach == reach);
    CHECK(made.detail == "connection refused");
    CHECK_FALSE(made.snapshot);
  }
}

TEST_CASE("a poll asks once, in the short form, and brings what the server lists") {
  boost::asio::io_context context;
  SimulatedClock clock{context};
  {
    LpdServer server(context, {{std::string(testing::kBrief)}});
    QueueProbe probe(clock, "herbarium", {"127.0.0.1", server.port(), "fern"});
    Pending<model::QueueReading> pending{context, probe.poll()};
    const auto reading = pending.get();
    CHECK(reading.queue == "herbarium");
    CHECK(reading.reach == QueueReach::answered);
    REQUIRE(reading.snapshot);
    CHECK(reading.snapshot->queued_count == 6);  // RFC 2569 section 3.3
    CHECK(server.seen().questions == std::vector<std::string>{"\3fern\n"});
  }
  clock.advance(120s);
}

}  // namespace frisket::lpd
