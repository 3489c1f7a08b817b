#include "daemon/http/queue_board.h"

#include <catch2/catch.hpp>

#include "daemon/http/fleet_board.h"
#include "daemon/json/forms.h"
#include "queues.h"

using namespace frisket;
using namespace frisket::testing;
using json::Json;
using namespace std::chrono_literals;

namespace {

struct Board {
  http::FleetBoard board{"run", {}};
  std::uint64_t seen = 0;

  Board() {
    board.configure(two_sites());
    events();
  }

  void publish(const incidents::QueueStatus& status) { board.publish_queue(status, kEight); }

  // What the stream told since the last call.
  std::string events() {
    const auto batch = board.events().after(seen, 1U << 20U);
    REQUIRE(batch);
    seen = batch->position;
    return batch->text;
  }

  Json named(const std::string& name) {
    const auto form = board.queues().queue(name);
    REQUIRE(form);
    return Json::parse(*form);
  }

  std::vector<std::string> names(const http::QueueFilter& filter) {
    std::vector<std::string> found;
    for (const auto& item : Json::parse("[" + board.queues().list(filter, {}).items.text() + "]"))
      found.push_back(item.at("name"));
    return found;
  }
};

model::QueueSnapshot busy() {
  auto said = idle_queue();
  said.state = model::PrinterState::processing;
  said.jobs = {job(1, model::JobState::processing), job(2)};
  return said;
}

}  // namespace

TEST_CASE("a queue is what was published last, and each reading moves the time alone") {
  Board board;
  board.publish(queue("herbarium"));
  CHECK(board.named("herbarium") == json::queue_form(queue("herbarium")));
  const auto later = queue("herbarium", idle_queue(), "glasshouse", kEight + 30s);
  board.publish(later);
  CHECK(board.named("herbarium") == json::queue_form(later));
  const auto changed = queue("herbarium", busy(), "glasshouse", kEight + 60s);
  board.publish(changed);
  CHECK(board.named("herbarium") == json::queue_form(changed));
  auto silent = changed;
  silent.reach = model::QueueReach::silent;
  silent.detail = "no answer";
  board.publish(silent);
  CHECK(board.named("herbarium") == json::queue_form(silent));
}

TEST_CASE("a queue is an event when somebody would see a difference, not for times, ages and counted pages") {
  Board board;
  board.publish(queue("herbarium", busy()));
  CHECK(board.events().find("event: queue\ndata: {\"name\":\"herbarium\",\"site\":\"glasshouse\",\"state\":"
                            "\"processing\",\"at\":\"2026-01-05T08:00:00.000Z\"}") != std::string::npos);

  auto said = busy();
  said.up_time = 31s;
  said.jobs[0].age = 90s;
  said.jobs[0].processing_for = 80s;
  said.jobs[0].impressions_completed = 7;
  said.jobs[0].media_sheets_completed = 4;
  board.publish(queue("herbarium", said, "glasshouse", kEight + 30s));
  CHECK(board.events().empty());
  CHECK(board.named("herbarium").at("jobs").at("head").at("impressions_completed") == 7);

  const std::vector<std::function<void(incidents::QueueStatus&, model::QueueSnapshot&)>> differences = {
      [](auto&, auto& snapshot) { snapshot.state = model::PrinterState::stopped; },
      [](auto&, auto& snapshot) { snapshot.accepting = false; },
      [](auto&, auto& snapshot) {
        snapshot.reasons = {{"paused", model::StateReason::Mark::none, false}};
      },
      [](auto&, auto& snapshot) { snapshot.message = "Paused by robin"; },
      [](auto&, auto& snapshot) { snapshot.jobs.push_back(job(3)); },
      [](auto&, auto& snapshot) { snapshot.jobs[1].state = model::JobState::pending_held; },
      [](auto&, auto& snapshot) { snapshot.gaps = {"a job had no id"}; },
      [](auto& status, auto&) { status.reach = model::QueueReach::silent; },
      [](auto& status, auto&) { status.detail = "no answer"; },
      [](auto& status, auto&) { status.device = "herbarium-copier"; },
      [](auto& status, auto&) { status.conditions = {low_toner(1)}; },
  };
  auto so_far = queue("herbarium", said);
  for (std::size_t i = 0; i < differences.size(); ++i) {
    CAPTURE(i);
    auto snapshot = *so_far.snapshot;
    differences[i](so_far, snapshot);
    so_far.snapshot = std::make_shared<const model::QueueSnapshot>(snapshot);
    board.publish(so_far);
    CHECK(board.events().find("event: queue\n") != std::string::npos);
    board.publish(so_far);
    CHECK(board.events().empty());
  }
}

TEST_CASE("a queue that is forgotten is gone from every answer, and the stream says so once") {
  Board board;
  board.publish(queue("herbarium"));
  CHECK(Json::parse(board.board.fleet(kEight).text()).at("queues").at("total") == 1);
  board.events();
  board.board.forget_queue("herbarium", kEight);
  CHECK(board.events().find(R"("name":"herbarium","site":"glasshouse","state":null)") != std::string::npos);
  CHECK_FALSE(board.board.queues().queue("herbarium"));
  CHECK_FALSE(board.board.queues().jobs("herbarium", true));
  CHECK(Json::parse(board.board.fleet(kEight).text()).at("queues").at("total") == 0);
  board.board.forget_queue("herbarium", kEight);
  CHECK(board.events().empty());
}

TEST_CASE("queues are listed in order of name and found by every filter") {
  Board board;
  auto paused = idle_queue();
  paused.state = model::PrinterState::stopped;
  paused.accepting = false;
  auto seeds = queue("seeds", paused, "alpine-house");
  seeds.device = "seed-bank/label";
  auto library = queue("library");
  library.spooler = "office";
  auto unread = queue("archive");
  unread.reach.reset();
  unread.snapshot.reset();
  for (const auto& status : {seeds, library, unread}) board.publish(status);

  using Names = std::vector<std::string>;
  CHECK(board.names({}) == Names{"archive", "library", "seeds"});
  http::QueueFilter filter;
  filter.sites = {"glasshouse"};
  CHECK(board.names(filter) == Names{"archive", "library"});
  filter = {};
  filter.devices = {"seed-bank/label"};
  CHECK(board.names(filter) == Names{"seeds"});
  filter = {};
  filter.spoolers = {"office", "other"};
  CHECK(board.names(filter) == Names{"library"});
  filter = {};
  filter.states = {"stopped", "unknown"};
  CHECK(board.names(filter) == Names{"archive", "seeds"});
  filter = {};
  filter.accepting = true;
  CHECK(board.names(filter) == Names{"library"});
  filter.accepting = false;
  CHECK(board.names(filter) == Names{"seeds"});
}

TEST_CASE("the list of queues is read to its end by its keys, each item once") {
  Board board;
  for (const auto* name : {"a", "b", "c"}) board.publish(queue(name));
  std::string all;
  http::Window window{2, ""};
  auto slice = board.board.queues().list({}, window);
  CHECK(slice.next == "b");
  window.after = *slice.next;
  slice = board.board.queues().list({}, window);
  CHECK_FALSE(slice.next);
  CHECK(Json::parse("[" + slice.items.text() + "]").at(0).at("name") == "c");
}

TEST_CASE("the fleet counts queues by every state that there is, and at their site") {
  Board board;
  auto word = [](std::optional<model::QueueReach> reach, std::optional<model::PrinterState> state) {
    auto said = idle_queue();
    said.state = state;
    auto status = queue("x", said);
    status.reach = reach;
    return std::string(state_word(status));
  };
  using model::PrinterState;
  using model::QueueReach;
  for (const auto& state :
       {word(QueueReach::answered, PrinterState::idle), word(QueueReach::answered, PrinterState::processing),
        word(QueueReach::answered, PrinterState::stopped), word(QueueReach::answered, std::nullopt),
        word(QueueReach::absent, {}), word(QueueReach::silent, {}), word(QueueReach::refused, {}),
        word(QueueReach::nonsense, {}), word({}, {})})
    CHECK(std::ranges::find(http::kQueueStates, state) != http::kQueueStates.end());

  board.publish(queue("a"));
  board.publish(queue("b", busy(), "alpine-house"));
  board.publish(queue("nowhere", busy(), ""));
  auto counted = Json::parse(board.board.fleet(kEight).text());
  CHECK(counted.at("queues") == Json::parse(R"({"total":3,"idle":1,"processing":2,"stopped":0,"absent":0,"silent":0,
                                               "refused":0,"nonsense":0,"unknown":0})"));
  REQUIRE(counted.at("sites").size() == 2);
  CHECK(counted.at("sites").at(0).at("queues").at("idle") == 1);
  CHECK(counted.at("sites").at(1).at("queues").at("processing") == 1);

  auto silent = queue("a");
  silent.reach = model::QueueReach::silent;
  board.publish(silent);
  CHECK(Json::parse(board.board.fleet(kEight).text()).at("queues").at("silent") == 1);
}
