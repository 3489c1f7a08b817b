#include "daemon/http/fleet_board.h"

#include <catch2/catch.hpp>

#include "daemon/json/forms.h"
#include "fixtures.h"

using namespace frisket;
using namespace frisket::testing;
using http::FleetBoard;
using incidents::DeviceState;
using json::Json;
using model::Severity;
using namespace std::chrono_literals;

namespace {

struct Board : FleetBoard {
  explicit Board(std::size_t cleared_kept = 100) : FleetBoard("run", {cleared_kept, {}}) { configure(two_sites()); }

  Json items(const http::Slice& slice) { return Json::parse("[" + slice.items.text() + "]"); }
  Json named(const std::string& name) { return Json::parse(device(name).value()); }
  Json fleet_now() { return Json::parse(fleet(kEight).text()); }
  std::string events_after(std::uint64_t position) { return events().after(position, 1U << 20U)->text; }
};

std::vector<std::string> names(const Json& items, const char* field = "name") {
  std::vector<std::string> found;
  for (const auto& item : items) found.push_back(item.at(field));
  return found;
}

}  // namespace

TEST_CASE("a device is listed as soon as it is configured, in order of name") {
  Board board;
  const auto slice = board.devices({}, {});
  CHECK(names(board.items(slice)) == std::vector<std::string>{"herbarium-copier", "library-laser", "seed-bank/label"});
  CHECK_FALSE(slice.next);
  CHECK(board.named("library-laser").at("state") == "unknown");
}

TEST_CASE("a published state is what is read next, and each reading moves the time alone") {
  Board board;
  board.publish_device("library-laser", answered(DeviceState::ready, {toner(1, 40)}), kEight);
  CHECK(board.named("library-laser").at("state") == "ready");
  const auto before = board.device("library-laser").value();
  for (int minute = 1; minute <= 3; ++minute) {
    const auto at = kEight + minute * 1min;
    board.publish_device("library-laser", answered(DeviceState::ready, {toner(1, 40)}, at), at);
    auto expected = before;
    const auto place = expected.find("2026-01-05T08:00");
    REQUIRE(place != std::string::npos);
    expected.replace(place, 16, "2026-01-05T08:0" + std::to_string(minute));
    CHECK(board.device("library-laser") == expected);
  }
}

TEST_CASE("a device that falls silent after its form was made is shown silent, with the time it last answered") {
  Board board;
  board.publish_device("library-laser", answered(DeviceState::ready), kEight);
  REQUIRE(board.named("library-laser").at("state") == "ready");
  auto silent = answered(DeviceState::silent);
  silent.reach = model::Reach::silent;
  silent.detail = "no answer in 3 attempts";
  board.publish_device("library-laser", silent, kEight + 1min);
  CHECK(board.named("library-laser").at("state") == "silent");
  CHECK(board.named("library-laser").at("last_reading_at") == "2026-01-05T08:00:00.000Z");
}

TEST_CASE("a device that is not configured changes nothing") {
  Board board;
  const auto newest = board.events().newest();
  board.publish_device("nobody", answered(DeviceState::ready), kEight);
  CHECK_FALSE(board.device("nobody"));
  CHECK(board.events().newest() == newest);
}

TEST_CASE("a new configuration forgets devices that are gone and keeps what is known of the others") {
  Board board;
  board.publish_device("library-laser", answered(DeviceState::busy), kEight);
  REQUIRE(board.named("library-laser").at("location") == "first floor");
  auto config = two_sites();
  config.devices.erase(config.devices.begin());
  config.devices[0].location = "cellar";
  board.configure(config);
  CHECK_FALSE(board.device("herbarium-copier"));
  CHECK(board.named("library-laser").at("state") == "busy");
  CHECK(board.named("library-laser").at("location") == "cellar");
  CHECK(board.fleet_now().at("devices").at("total") == 2);
}

TEST_CASE("a list is read to its end by its keys, each item once, whatever the limit") {
  Board board;
  for (const std::size_t limit : {std::size_t{1}, std::size_t{2}, std::size_t{3}, std::size_t{1000}}) {
    CAPTURE(limit);
    std::vector<std::string> all;
    http::Window window{limit, ""};
    while (true) {
      const auto slice = board.devices({}, window);
      for (const auto& name : names(board.items(slice))) all.push_back(name);
      if (!slice.next) break;
      window.after = *slice.next;
    }
    CHECK(all == std::vector<std::string>{"herbarium-copier", "library-laser", "seed-bank/label"});
  }
}

TEST_CASE("supplies are listed with their place, and their keys survive a slash in the device's name") {
  Board board;
  auto low = answered(DeviceState::attention, {toner(1, 4), toner(3, 90)});
  low.conditions = {low_toner(1)};
  board.publish_device("seed-bank/label", low, kEight);
  board.publish_device("herbarium-copier", answered(DeviceState::ready, {toner(1, 50)}), kEight);
  const auto first = board.supplies({}, {2, ""});
  CHECK(names(board.items(first), "device") == std::vector<std::string>{"herbarium-copier", "seed-bank/label"});
  REQUIRE(first.next == "seed-bank/label/1");
  const auto second = board.supplies({}, {2, *first.next});
  const auto items = board.items(second);
  REQUIRE(items.size() == 1);
  CHECK(items[0].at("index") == 3);
  CHECK(items[0].at("site") == "alpine-house");
  CHECK(items[0].at("location") == "first floor");
  CHECK_FALSE(second.next);

  http::SupplyFilter only_low;
  only_low.low = true;
  CHECK(board.items(board.supplies(only_low, {})).size() == 1);
}

TEST_CASE("the fleet counts devices by state and open incidents by severity and site, and knows the worst") {
  Board board;
  board.publish_device("herbarium-copier", answered(DeviceState::stopped), kEight);
  board.publish_device("library-laser", answered(DeviceState::ready), kEight);
  board.publish_transition(raised(incident("1", Severity::warning)));
  board.publish_transition(raised(incident("2", Severity::critical, "seed-bank/label", "alpine-house")));
  auto shelved = incident("3", Severity::critical);
  shelved.operator_state = incidents::Incident::Operator::shelved;
  board.publish_transition(raised(shelved));
  board.publish_transition(cleared(incident("4", Severity::critical)));

  const std::string no_queues =
      R"({"total":0,"idle":0,"processing":0,"stopped":0,"absent":0,"silent":0,"refused":0,"nonsense":0,"unknown":0})";
  const auto expected = R"({"made_at":"2026-01-05T08:00:00.000Z",
    "devices":{"total":3,"ready":1,"busy":0,"attention":0,"stopped":1,"silent":0,"unknown":1},
    "queues":)" + no_queues +
                        R"(,
    "incidents":{"open":2,"critical":1,"major":0,"minor":0,"warning":1,"set_aside":1},
    "sites":[{"name":"glasshouse","time_zone":"Europe/Dublin",
              "devices":{"total":2,"ready":1,"busy":0,"attention":0,"stopped":1,"silent":0,"unknown":0},
              "queues":)" +
                        no_queues + R"(,
              "incidents":{"open":1,"critical":0,"major":0,"minor":0,"warning":1,"set_aside":1}},
             {"name":"alpine-house","time_zone":"Europe/Zurich",
              "devices":{"total":1,"ready":0,"busy":0,"attention":0,"stopped":0,"silent":0,"unknown":1},
              "queues":)" +
                        no_queues + R"(,
              "incidents":{"open":1,"critical":1,"major":0,"minor":0,"warning":0,"set_aside":0}}]})";
  auto fleet = board.fleet_now();
  CHECK(fleet.at("worst").at("id") == "2");
  fleet.erase("worst");
  CHECK(fleet.at("load").at("hour").at("raised") == 3);  // "4" was never told as raised
  fleet.erase("load");
  CHECK(fleet == Json::parse(expected));
}

TEST_CASE("the fleet's alarm load follows every raising and the time, and goes on after a restart") {
  Board board;
  auto jam = incident("1", Severity::critical);
  jam.raised_at = kEight;
  board.publish_transition({incidents::What::raised, kEight, jam});
  const auto load = [](const FleetBoard& from, model::WallTime now) {
    return Json::parse(from.fleet(now).text()).at("load");
  };
  CHECK(load(board, kEight).at("hour").at("raised") == 1);
  CHECK(load(board, kEight + 9s).at("hour").at("raised") == 1);
  CHECK(load(board, kEight + 1h).at("hour").at("raised") == 0);
  CHECK(load(board, kEight + 1h).at("day").at("raised") == 1);
  CHECK(load(board, kEight + 25h).at("stale") == 1);
  board.publish_transition({incidents::What::raised, kEight + 25h, incident("2", Severity::minor)});
  CHECK(load(board, kEight + 25h).at("hour").at("raised") == 1);

  jam.changes = {{kEight, incidents::What::raised, jam.severity, jam.kind, ""}};
  Board next;
  next.restore_load({&jam});
  CHECK(load(next, kEight + 25h).at("week").at("raised") == 1);
  CHECK(load(next, kEight + 25h).at("stale") == 1);
}

TEST_CASE("the fleet's counts follow every change, and without incidents there is no worst") {
  Board board;
  CHECK(board.fleet_now().at("worst").is_null());
  board.publish_transition(raised(incident("1", Severity::minor)));
  CHECK(board.fleet_now().at("worst").at("id") == "1");
  board.publish_transition(cleared(incident("1", Severity::minor)));
  CHECK(board.fleet_now().at("worst").is_null());
  board.publish_device("library-laser", answered(DeviceState::busy), kEight);
  CHECK(board.fleet_now().at("devices").at("busy") == 1);
  CHECK(Json::parse(board.fleet(kEight + 1h).text()).at("made_at") == "2026-01-05T09:00:00.000Z");
}

TEST_CASE("of equally bad incidents the one raised first is the worst") {
  Board board;
  auto later = incident("1", Severity::major);
  later.raised_at = kEight + 1min;
  board.publish_transition(raised(later));
  board.publish_transition(raised(incident("2", Severity::major)));
  CHECK(board.fleet_now().at("worst").at("id") == "2");
}

TEST_CASE("an incident of a site that is no longer configured still counts, without a time zone") {
  Board board;
  board.publish_transition(raised(incident("1", Severity::major, "gone", "old-orangery")));
  const auto sites = board.fleet_now().at("sites");
  REQUIRE(sites.size() == 3);
  CHECK(sites[2].at("name") == "old-orangery");
  CHECK(sites[2].at("time_zone").is_null());
  CHECK(sites[2].at("incidents").at("open") == 1);
}

TEST_CASE("incidents are listed in order of id and found by every filter") {
  Board board;
  board.publish_transition(raised(incident("b", Severity::critical)));
  board.publish_transition(raised(incident("a", Severity::warning, "library-laser", "glasshouse", "toner-low")));
  board.publish_transition(cleared(incident("c", Severity::major, "seed-bank/label", "alpine-house")));
  const auto ids = [&](const http::IncidentFilter& filter) {
    return names(board.items(board.incidents(filter, {})), "id");
  };
  using Ids = std::vector<std::string>;
  CHECK(ids({}) == Ids{"a", "b", "c"});
  http::IncidentFilter filter;
  filter.states = {incidents::Incident::State::raised};
  CHECK(ids(filter) == Ids{"a", "b"});
  filter.severities = {Severity::critical, Severity::major};
  CHECK(ids(filter) == Ids{"b"});
  filter = {};
  filter.sites = {"alpine-house"};
  CHECK(ids(filter) == Ids{"c"});
  filter = {};
  filter.kinds = {"toner-low"};
  CHECK(ids(filter) == Ids{"a"});
  filter = {};
  filter.devices = {"library-laser", "seed-bank/label"};
  CHECK(ids(filter) == Ids{"a", "c"});
  CHECK(board.incidents({}, {1, "a"}).next == "b");
}

TEST_CASE("an incident that concerns no device fits no filter by device") {
  Board board;
  auto whole_site = incident("1", Severity::critical);
  whole_site.device.reset();
  board.publish_transition(raised(whole_site));
  http::IncidentFilter filter;
  filter.devices = {""};
  CHECK(board.incidents(filter, {}).items.empty());
}

TEST_CASE("of the cleared incidents the newest are kept, and raised ones always") {
  Board board(2);
  board.publish_transition(raised(incident("raised", Severity::warning)));
  for (const auto* id : {"1", "2", "3"}) {
    board.publish_transition(raised(incident(id, Severity::warning)));
    board.publish_transition(cleared(incident(id, Severity::warning)));
    board.publish_transition(cleared(incident(id, Severity::warning)));  // told again: counts once
  }
  CHECK_FALSE(board.incident("1"));
  CHECK(board.incident("2"));
  CHECK(board.incident("3"));
  CHECK(board.incident("raised"));
}

TEST_CASE("an incident that was cleared and is raised again is not forgotten with the cleared") {
  Board board(1);
  board.publish_transition(cleared(incident("1", Severity::warning)));
  board.publish_transition(raised(incident("1", Severity::warning)));
  board.publish_transition(cleared(incident("2", Severity::warning)));
  board.publish_transition(cleared(incident("3", Severity::warning)));
  CHECK(board.incident("1"));
  CHECK_FALSE(board.incident("2"));
}

TEST_CASE("a transition is an event with the whole notice") {
  Board board;
  const auto before = board.events().newest();
  board.publish_transition(raised(incident("1", Severity::critical)));
  const auto expected = json::text_of(json::notice_form(raised(incident("1", Severity::critical))));
  CHECK(board.events_after(before) == "id: run-2\nevent: notice\ndata: " + expected + "\n\n");
}

TEST_CASE("a device is an event when somebody would see a difference, not for its counters") {
  Board board;
  const auto publish = [&](const incidents::DeviceStatus& status) {
    const auto before = board.events().newest();
    board.publish_device("library-laser", status, kEight);
    return board.events().newest() - before;
  };
  CHECK(publish(answered(DeviceState::ready, {toner(1, 40)})) == 1);
  CHECK(publish(answered(DeviceState::ready, {toner(1, 40)}, kEight + 1min)) == 0);
  auto counted = answered(DeviceState::ready, {toner(1, 40)});
  auto snapshot = *counted.snapshot;
  model::Marker marker;
  marker.life_count = 17;
  snapshot.markers = {marker};
  counted.snapshot = std::make_shared<const model::DeviceSnapshot>(snapshot);
  CHECK(publish(counted) == 0);
  CHECK(board.named("library-laser").at("impressions") == 17);
  CHECK(publish(answered(DeviceState::ready, {toner(1, 39)})) == 1);
  CHECK(publish(answered(DeviceState::stopped, {toner(1, 39)})) == 1);
  CHECK(board.events_after(board.events().newest() - 1) ==
        "id: run-4\nevent: device\ndata: "
        R"({"name":"library-laser","site":"glasshouse","state":"stopped","at":"2026-01-05T08:00:00.000Z"})"
        "\n\n");
}

TEST_CASE("a new configuration is an event") {
  Board board;
  CHECK(board.events_after(0) == "id: run-1\nevent: configuration\ndata: {\"devices\":3,\"sites\":2}\n\n");
}

TEST_CASE("two boards never give the same event id") {
  FleetBoard one;
  FleetBoard other;
  CHECK(one.events().id_of(7) != other.events().id_of(7));
}

// What is served of it where all else is well.
static std::string served(FleetBoard::Health health) {
  health.configuration = "ok";
  Board board;
  board.set_health_source([&] { return health; });
  return board.health(kEight);
}

TEST_CASE("health is what the service says, with the time since it started") {
  Board board;
  board.set_health_source([] {
    FleetBoard::Health health;
    health.started_at = kEight;
    health.polls = 7;
    health.polls_missed = 2;
    health.polls_late = 1;
    health.configuration = "frisket.toml:3:1: unknown key";
    health.snmp = {{"sent", 9}};
    health.ipp = {{"open", 1}};
    health.queue_polls = {{"missed", 5}};
    health.hooks = {{"failed", 1}};
    health.each_hook = {{"desk", {{"waiting", 3}}}};
    health.store = {"", {{"commits", 4}}};
    health.notifications = {"127.0.0.1:1162", "", {{"traps", 3}}, {{"192.0.2.7", 2, kEight + 1s}}};
    return health;
  });
  CHECK(
      board.health(kEight + 90s) ==
      R"({"status":"attention","configuration":"frisket.toml:3:1: unknown key",)"
      R"("started_at":"2026-01-05T08:00:00.000Z","now":"2026-01-05T08:01:30.000Z","uptime_seconds":90,"devices":3,)"
      R"("polls":{"finished":7,"missed":2,"late":1},"event_streams":0,"snmp":{"sent":9},"ipp":{"open":1},"queue_polls":{"missed":5},"hooks":{"failed":1},)"
      R"("each_hook":{"desk":{"waiting":3}},)"
      R"("store":{"trouble":null,"counters":{"commits":4}},)"
      R"("notifications":{"listening":"127.0.0.1:1162","trouble":null,"counters":{"traps":3},)"
      R"("unknown_senders":[{"address":"192.0.2.7","count":2,"last_at":"2026-01-05T08:00:01.000Z"}]}})");
}

TEST_CASE("a store that cannot be written wants attention") {
  FleetBoard::Health troubled;
  troubled.store.trouble = "no room";
  const auto health = served(std::move(troubled));
  CHECK(health.find(R"("status":"attention")") != std::string::npos);
  CHECK(health.find(R"("store":{"trouble":"no room")") != std::string::npos);
}

TEST_CASE("notifications that cannot be received where they should be want attention") {
  FleetBoard::Health troubled;
  troubled.notifications.trouble = "Permission denied";
  const auto health = served(std::move(troubled));
  CHECK(health.find(R"("status":"attention")") != std::string::npos);
  CHECK(health.find(R"("listening":null,"trouble":"Permission denied")") != std::string::npos);
}
