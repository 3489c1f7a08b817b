// Print queues: each state a spooler can show, and what it has to do with the device behind it.
//
// The states are those that RFC 8011 sections 5.3.7, 5.3.8 and 5.4.11 to 5.4.24 define; how a spooler shows a dead
// device (processing, no reason) was seen of a real one, which tests/peers/spooler_table_test.py reads again.
#include "queues.h"

#include <catch2/catch.hpp>

namespace frisket::incidents {
namespace {

using namespace testing;
using Words = std::vector<std::string>;

struct Office {
  Correlator correlator{office()};
  WallTime now = kMorning;
  std::vector<Transition> last;

  explicit Office(config::Config config = office()) : correlator(std::move(config)) {}

  // Thirty seconds later: first the device, if there is a reading of it, then the queues.
  void poll(std::vector<QueueSnapshot> queues) { last = correlator.apply(pass(now += 30s, std::move(queues))); }
  void device(const model::DeviceSnapshot& snapshot) { last = correlator.apply(reading(snapshot, now)); }
  void device_missing() { last = correlator.apply(missed(now)); }
  void no_spooler(QueueReach reach = QueueReach::silent) { last = correlator.apply(no_pass(now += 30s, reach)); }
  Words open() const { return open_problems(correlator); }
};

TEST_CASE("idle queues, held jobs, and jobs that move raise nothing") {
  Office office;
  auto busy = idle_queue("seeds");
  busy.state = PrinterState::processing;
  for (int page = 0; page < 60; ++page) {
    office.device(healthy());
    busy.jobs = {job(4, JobState::processing, page * 30s), job(5, JobState::pending, page * 20s)};
    busy.jobs[0].impressions_completed = page;
    auto held = idle_queue("moss");
    held.jobs = {job(9, JobState::pending_held, 2h, {"job-hold-until-specified"})};
    office.poll({busy, held});
    REQUIRE(office.open().empty());
  }
}

TEST_CASE("a queue that somebody paused is told, and is worse once a job waits") {
  Office office;
  office.poll({stopped("seeds", {{"paused", StateReason::Mark::none}}), idle_queue("moss")});
  REQUIRE(office.open() == Words{"paused seeds"});
  CHECK(only_open(office.correlator).severity == Severity::minor);
  const auto id = only_open(office.correlator).id;

  auto waiting = stopped("seeds", {{"paused", StateReason::Mark::none}});
  waiting.message = "toner is on its way";
  waiting.jobs = {job(3, JobState::pending, 10s)};
  office.poll({waiting, idle_queue("moss")});
  CHECK(only_open(office.correlator).id == id);
  CHECK(only_open(office.correlator).severity == Severity::major);
  CHECK(only_open(office.correlator).queue == "seeds");
  CHECK(only_open(office.correlator).site == "glasshouse");
  CHECK(only_open(office.correlator).summary.find("toner is on its way") != std::string::npos);

  // It waits for so long that it would be a backlog: that is the same trouble.
  waiting.jobs = {job(3, JobState::pending, 5h)};
  office.poll({waiting, idle_queue("moss")});
  CHECK(office.open() == Words{"paused seeds"});
  CHECK(has_evidence(only_open(office.correlator), "queue-backlog"));

  office.poll({idle_queue("seeds"), idle_queue("moss")});
  CHECK(office.open().empty());
}

TEST_CASE("a queue stopped by an error says so; one whose device has said why is that device's evidence") {
  Office office;
  const auto jam = stopped("seeds", {{"media-jam", StateReason::Mark::error}, {"paused", StateReason::Mark::none}});
  office.device(healthy());
  office.poll({jam, idle_queue("moss")});
  REQUIRE(office.open() == Words{"queue-stopped seeds"});

  // The device says it as well: one problem, and it is the device's.
  office.device(jammed());
  REQUIRE(office.open() == Words{"media-jam herbarium-copier"});
  CHECK(has_evidence(only_open(office.correlator), "queue-waits"));

  // The jam is out, the queue still stands: it has to be resumed.
  office.device(healthy());
  CHECK(office.open() == Words{"queue-stopped seeds"});
}

TEST_CASE("of a queue whose device is not known its own reasons are the problem") {
  Office office;
  auto empty = printing("moss", 10s);
  empty.reasons = {{"media-empty", StateReason::Mark::warning}, {"media-needed", StateReason::Mark::warning}};
  office.poll({idle_queue("seeds"), empty});
  REQUIRE(office.open() == Words{"media-empty moss"});
  CHECK_FALSE(only_open(office.correlator).device);

  // A long wait for paper is not a second problem.
  empty.jobs[0].processing_for = 2h;
  office.poll({idle_queue("seeds"), empty});
  CHECK(office.open() == Words{"media-empty moss"});

  const auto jam = stopped("moss", {{"media-jam", StateReason::Mark::error}, {"paused", StateReason::Mark::none}});
  office.poll({idle_queue("seeds"), idle_queue("moss")});
  REQUIRE(office.open().empty());
  office.now += 1h;
  office.poll({idle_queue("seeds"), jam});
  CHECK(office.open() == Words{"media-jam moss"});
  CHECK(has_evidence(only_open(office.correlator), "queue-stopped"));
}

TEST_CASE("reports are no problem, and neither is what a spooler says of itself on its way to the device") {
  Office office;
  auto queue = printing("moss", 5s);
  queue.reasons = {{"toner-low", StateReason::Mark::report}, {"connecting-to-device", StateReason::Mark::none}};
  office.poll({idle_queue("seeds"), queue});
  CHECK(office.open().empty());
}

TEST_CASE(
    "a job at the head that gets no further while its device idles is stuck, and is over when the next one moves") {
  Office office;
  for (int i = 0; i < 10; ++i) {
    office.device(healthy());
    office.poll({printing("seeds", i * 30s), idle_queue("moss")});
    REQUIRE(office.open().empty());
  }
  office.device(healthy());
  office.poll({printing("seeds", 300s), idle_queue("moss")});
  REQUIRE(office.open() == Words{"job-stuck seeds"});
  const auto& incident = only_open(office.correlator);
  CHECK(incident.evidence.at(0).witnesses.at(0).says.find("job 7") != std::string::npos);
  // Hooks and files see evidence: whose job it is and what was printed is nobody's business.
  for (const auto& condition : incident.evidence)
    for (const auto& witness : condition.witnesses) {
      CHECK(witness.says.find("salaries") == std::string::npos);
      CHECK(witness.says.find("fern") == std::string::npos);
    }

  auto next = printing("seeds", 1s);
  next.jobs[0].id = 8;
  office.poll({next, idle_queue("moss")});
  CHECK(office.open().empty());
}

TEST_CASE("a job that prints pages is not stuck, by whichever counter they are seen") {
  Office office;
  for (int i = 0; i < 60; ++i) {
    auto printer = healthy();
    printer.markers[0].life_count = static_cast<std::uint32_t>(1000 + i);
    office.device(printer);
    office.poll({printing("seeds", i * 30s), idle_queue("moss")});
    REQUIRE(office.open().empty());
  }
}

TEST_CASE("a job that was stuck before the daemon started is told at the first look") {
  Office office;
  office.device(healthy());
  office.poll({printing("seeds", 3h), idle_queue("moss")});
  CHECK(office.open() == Words{"job-stuck seeds"});
}

TEST_CASE("a dead device behind a queue is one incident, with the queue as its evidence") {
  Office office;
  office.device(healthy());
  for (int i = 0; i < 40; ++i) {
    office.device_missing();
    office.poll({printing("seeds", i * 30s), idle_queue("moss")});
    for (const auto& word : office.open()) REQUIRE(word == "device-silent herbarium-copier");
  }
  REQUIRE(office.open() == Words{"device-silent herbarium-copier"});
  CHECK(has_evidence(only_open(office.correlator), "queue-waits"));

  // It comes back, the job prints, and everything ends by itself.
  office.device(healthy());
  office.poll({idle_queue("seeds"), idle_queue("moss")});
  CHECK(office.open().empty());
}

TEST_CASE("a stuck job that turns out to be a dead device's becomes that device's evidence") {
  Office office;
  office.device(healthy());
  office.poll({printing("seeds", 10min), idle_queue("moss")});
  REQUIRE(office.open() == Words{"job-stuck seeds"});
  for (int i = 0; i < 3; ++i) {
    office.device_missing();
    office.poll({printing("seeds", 11min + i * 30s), idle_queue("moss")});
  }
  CHECK(office.open() == Words{"device-silent herbarium-copier"});
}

TEST_CASE("pausing a queue is somebody's own doing, whatever its device does") {
  Office office;
  office.device(jammed());
  office.poll({stopped("seeds", {{"paused", StateReason::Mark::none}}), idle_queue("moss")});
  CHECK(office.open() == Words{"media-jam herbarium-copier", "paused seeds"});
}

TEST_CASE("a queue that takes no jobs, and jobs that wait for a password, are told") {
  Office office;
  auto rejecting = idle_queue("seeds");
  rejecting.accepting = false;
  auto locked = idle_queue("moss");
  locked.jobs = {job(2, JobState::pending_held, 60s, {"cups-held-for-authentication"})};
  office.poll({rejecting, locked});
  CHECK(office.open() == Words{"authentication-held moss", "queue-rejecting seeds"});
  office.poll({idle_queue("seeds"), idle_queue("moss")});
  CHECK(office.open().empty());
}

TEST_CASE("many jobs, or one that waits long, are a backlog where nothing else explains it") {
  Office office;
  auto queue = idle_queue("moss");
  queue.state = PrinterState::processing;
  for (int page = 0; page < 2; ++page) {
    queue.jobs = {job(1, JobState::processing, 10s), job(2, JobState::pending, page == 0 ? 29min : 30min)};
    queue.jobs[0].impressions_completed = page;
    office.poll({idle_queue("seeds"), queue});
    CHECK(office.open() == (page == 0 ? Words{} : Words{"queue-backlog moss"}));
  }
}

TEST_CASE(
    "a queue that is known by LPD only has a backlog by its count, takes jobs or not, and is silent with its server") {
  auto config = office();
  config::Queue old;
  old.name = "old";
  old.lpd = model::LpdTarget{"lpd.example.org", 515, "seeds"};
  old.target.uri = "lpd://lpd.example.org/seeds";
  old.target.host = "lpd.example.org";
  old.target.port = 515;
  old.site = "glasshouse";
  config.queues = {old};
  Correlator correlator{config};
  auto at = kMorning;
  const auto poll = [&](QueueReach reach, std::int32_t jobs, bool accepting) {
    model::QueueReading reading;
    reading.queue = "old";
    reading.at = at += 30s;
    reading.reach = reach;
    QueueSnapshot said;
    said.queued_count = jobs;
    said.accepting = accepting;
    if (reach == QueueReach::answered) reading.snapshot = std::make_shared<const QueueSnapshot>(said);
    correlator.apply(reading);
    return open_problems(correlator);
  };
  CHECK(poll(QueueReach::answered, 49, true).empty());
  CHECK_FALSE(correlator.queue("old")->read_only.empty());
  CHECK(poll(QueueReach::answered, 50, true) == Words{"queue-backlog old"});
  CHECK(poll(QueueReach::answered, 0, true).empty());
  CHECK(poll(QueueReach::answered, 0, false) == Words{"queue-rejecting old"});
  CHECK(poll(QueueReach::answered, 0, true).empty());
  poll(QueueReach::silent, 0, true);
  poll(QueueReach::silent, 0, true);
  CHECK(poll(QueueReach::silent, 0, true) == Words{"spooler-silent lpd.example.org:515"});
}

TEST_CASE("a spooler that does not answer is one incident, however many queues it holds") {
  Office office;
  office.poll({idle_queue("seeds"), idle_queue("moss")});
  office.no_spooler();
  office.no_spooler();
  CHECK(office.open().empty());
  office.no_spooler();
  REQUIRE(office.open() == Words{"spooler-silent office"});
  CHECK(only_open(office.correlator).severity == Severity::critical);
  CHECK(only_open(office.correlator).site == "glasshouse");
  office.no_spooler(QueueReach::refused);
  CHECK(office.open() == Words{"spooler-refused office"});
  office.poll({idle_queue("seeds"), idle_queue("moss")});
  CHECK(office.open().empty());
}

TEST_CASE("what was wrong with a queue stays while its spooler is silent, and over a restart of the daemon") {
  Office office;
  office.poll({stopped("seeds", {{"paused", StateReason::Mark::none}}), idle_queue("moss")});
  for (int i = 0; i < 4; ++i) office.no_spooler();
  const Words both{"paused seeds", "spooler-silent office"};
  REQUIRE(office.open() == both);

  Correlator again{testing::office()};
  CHECK(again.restore(office.correlator.memory(), office.now).empty());
  CHECK(open_problems(again) == both);
  const auto still = again.apply(no_pass(office.now + 30s));
  CHECK(still.empty());
  const auto back = again.apply(
      pass(office.now + 60s, {stopped("seeds", {{"paused", StateReason::Mark::none}}), idle_queue("moss")}));
  REQUIRE(back.size() == 1);
  CHECK(back[0].what == What::cleared);
  CHECK(open_problems(again) == Words{"paused seeds"});
}

TEST_CASE("a configured queue that the spooler does not list is absent; one that nobody configured comes and goes") {
  Office office;
  office.poll({idle_queue("seeds"), stopped("lichen", {{"paused", StateReason::Mark::none}})});
  CHECK(office.open() == Words{"paused lichen@office"});
  office.poll({idle_queue("seeds"), stopped("lichen", {{"paused", StateReason::Mark::none}})});
  CHECK(office.open() == Words{"paused lichen@office", "queue-absent moss"});

  Correlator again{testing::office()};
  again.restore(office.correlator.memory(), office.now);
  CHECK(open_problems(again) == office.open());

  office.poll({idle_queue("seeds"), idle_queue("moss")});
  CHECK(office.open().empty());
  CHECK(office.correlator.queue("lichen@office") == nullptr);
}

TEST_CASE("queues that nobody configured stay out where the spooler is asked for none of them") {
  auto config = testing::office();
  config.spoolers[0].all_queues = false;
  Office office(config);
  office.poll({idle_queue("seeds"), idle_queue("moss"), stopped("lichen", {{"paused", StateReason::Mark::none}})});
  CHECK(office.open().empty());
  CHECK(office.correlator.queues().size() == 2);
}

TEST_CASE("a queue finds its device by the address it prints to, if only one device has it") {
  Office office;
  auto found = idle_queue("lichen");
  found.device_uri = "socket://192.0.2.10:9100";
  office.device(healthy());
  office.poll({idle_queue("seeds"), idle_queue("moss"), found});
  REQUIRE(office.correlator.queue("lichen@office"));
  CHECK(office.correlator.queue("lichen@office")->device == "herbarium-copier");

  auto config = testing::office();
  config.devices.push_back(config.devices[0]);
  config.devices[1].name = "herbarium-plotter";
  config.devices[1].port = 1161;
  Office two(config);
  two.poll({idle_queue("seeds"), idle_queue("moss"), found});
  CHECK(two.correlator.queue("lichen@office")->device.empty());
}

TEST_CASE("an incident of a queue that is no longer configured is cleared") {
  Office office;
  office.poll({stopped("seeds", {{"paused", StateReason::Mark::none}}), idle_queue("moss")});
  auto config = testing::office();
  config.queues.erase(config.queues.begin());
  config.spoolers[0].all_queues = false;
  const auto told = office.correlator.reconfigure(config, office.now + 1s);
  REQUIRE(told.size() == 1);
  CHECK(told[0].what == What::cleared);
  CHECK(told[0].incident.outcome == "no longer configured");
}

TEST_CASE("a queue whose driver, place or twin does not fit is told once each") {
  Office office;
  auto copier = healthy();
  copier.host.description = "Quillon LX 4100";
  office.device(copier);
  auto queue = idle_queue("seeds");
  queue.make_and_model = "Quillon LX 5200 PCL6";
  queue.location = "Tea room, ground floor";
  office.poll({queue, idle_queue("moss")});
  CHECK(office.open() == Words{"driver-mismatch seeds", "location-mismatch seeds"});
  office.poll({queue, idle_queue("moss")});
  CHECK(office.last.empty());

  queue.make_and_model = "Quillon LX 4100 PCL6";
  queue.location = "first floor";
  office.poll({queue, idle_queue("moss")});
  CHECK(office.open().empty());
}

TEST_CASE("a default queue somewhere else than the configuration has it is told") {
  auto config = testing::office();
  config.spoolers[0].default_location = "Herbarium, first floor";
  Office office(config);
  auto queue = idle_queue("moss");
  queue.is_default = true;
  queue.location = "Tea room, ground floor";
  office.poll({idle_queue("seeds"), queue});
  CHECK(office.open() == Words{"default-queue-elsewhere moss"});
}

TEST_CASE("a device out of service says nothing, and its queue asks nobody to mend it") {
  auto config = testing::office();
  config.devices[0].out_of_service = "sold";
  Office office(config);
  office.poll({printing("seeds", 3h), idle_queue("moss")});
  CHECK(office.open().empty());
}

TEST_CASE("any order of the same device and queue readings ends in the same open incidents") {
  const auto jam = jammed();
  const auto queue = stopped("seeds", {{"media-jam", StateReason::Mark::error}, {"paused", StateReason::Mark::none}});
  Office device_first;
  device_first.device(jam);
  device_first.poll({queue, idle_queue("moss")});
  Office queue_first;
  queue_first.poll({queue, idle_queue("moss")});
  queue_first.device(jam);
  CHECK(device_first.open() == queue_first.open());
  CHECK(device_first.open() == Words{"media-jam herbarium-copier"});
  CHECK(has_evidence(only_open(queue_first.correlator), "queue-waits"));
  CHECK(has_evidence(only_open(device_first.correlator), "queue-waits"));
}

}  // namespace
}  // namespace frisket::incidents
