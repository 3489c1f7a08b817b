#include "daemon/service/upkeep_desk.h"

#include <algorithm>
#include <boost/asio/io_context.hpp>
#include <catch2/catch.hpp>
#include <optional>
#include <utility>

#include "daemon/hooks/hooks.h"
#include "simulated_clock.h"
#include "temporary_folder.h"

namespace {

using namespace std::chrono_literals;
using namespace frisket;
using namespace frisket::service;
using http::StockAct;
using What = http::StockAct::What;

config::Config garden(const std::filesystem::path& folder) {
  config::Config config;
  config.daemon.state_dir = folder;
  config::Site site;
  site.name = "garden";
  site.time_zone = "Europe/Dublin";
  config.sites = {site};
  config::Device device;
  device.name = "moss";
  device.address = "192.0.2.1";
  device.site = "garden";
  config.devices = {device};
  return config;
}

model::DeviceSnapshot printer() {
  model::DeviceSnapshot snapshot;
  model::Marker marker;
  marker.index = 1;
  marker.life_count = 4000;
  snapshot.markers = {marker};
  model::Supply toner;
  toner.index = 1;
  toner.description = "Quillon Toner QX-4100K";
  snapshot.supplies = {toner};
  return snapshot;
}

// What the desk stands among, with a store in a folder. The store and the outlook have threads of their own: until()
// waits for what they do.
struct Office {
  explicit Office(const std::filesystem::path& folder) : config(garden(folder)) {
    board.configure(config);
    opened = ledger.open(config).has_value();
    desk.start();
  }
  ~Office() {
    desk.stop();
    ledger.stop();
  }
  Office(const Office&) = delete;
  Office& operator=(const Office&) = delete;

  bool until(const std::function<bool()>& so) {
    const auto end = std::chrono::steady_clock::now() + 20s;
    while (!so()) {
      if (std::chrono::steady_clock::now() > end) return false;
      context.restart();
      context.run_one_for(50ms);
    }
    return true;
  }

  void heard() {
    model::DeviceReading reading;
    reading.device = "moss";
    reading.at = clock.wall_now();
    reading.reach = model::Reach::answered;
    reading.snapshot = std::make_shared<const model::DeviceSnapshot>(printer());
    const auto transitions = correlator.apply(reading);
    ledger.take(reading, transitions, config);
    clock.advance(5s);  // what was heard is written after that
    ledger.tick(config.store);
    const auto written = answer<bool>([&](auto done) {
      ledger.read<bool>([](store::Store&) -> model::Result<bool> { return true; }, std::move(done));
    });
    REQUIRE(written);
  }

  // As the daemon does each second.
  void pass(std::chrono::seconds span) {
    clock.advance(span);
    desk.tick();
  }
  // When the outlook that came with it was made.
  std::optional<model::WallTime> look(std::chrono::seconds span) {
    const auto before = made_at();
    pass(span);
    return until([&] { return made_at() != before; }) ? made_at() : std::nullopt;
  }
  std::optional<model::WallTime> made_at() const {
    return desk.outlook() == nullptr ? std::nullopt : std::optional(desk.outlook()->made_at);
  }

  template <class T, class Ask>
  model::Result<T> answer(Ask ask) {
    std::optional<model::Result<T>> told;
    ask([&](const model::Result<T>& answer) { told = answer; });
    REQUIRE(until([&] { return told.has_value(); }));
    return *told;
  }
  model::Result<upkeep::StockLevel> stock(What what, int count, std::optional<int> on_order = {}) {
    return answer<upkeep::StockLevel>([&](auto done) {
      desk.stock(StockAct{what, "QX-4100K", count, on_order}, std::move(done));
    });
  }
  model::Result<http::ToldComplaint> complain(const std::string& symptom, upkeep::Known known = {}) {
    upkeep::Complaint complaint;
    complaint.device = "moss";
    complaint.symptom = symptom;
    complaint.at = clock.wall_now();
    complaint.known = std::move(known);
    return answer<http::ToldComplaint>([&](auto told) { desk.complain(std::move(complaint), std::move(told)); });
  }
  upkeep::Stock shelf() const { return desk.books().stock.at("QX-4100K"); }

  boost::asio::io_context context;
  testing::SimulatedClock clock{context};
  config::Config config;
  incidents::Correlator correlator{config};
  http::FleetBoard board;
  hooks::Hooks hooks{context.get_executor(), clock, {}, 1, [](const auto&) {}};
  Ledger ledger{context.get_executor(), clock, correlator, hooks, board};
  UpkeepDesk desk{context.get_executor(), {clock, config, correlator, ledger, board}};
  bool opened = false;
};

incidents::Replacement replaced(const std::string& description) {
  incidents::Replacement replacement;
  replacement.device = "moss";
  replacement.description = description;
  return replacement;
}

}  // namespace

TEST_CASE("what lies on the shelf and what is on order follows what people tell, and outlives the daemon") {
  TemporaryFolder folder;
  {
    Office office(folder.path());
    REQUIRE(office.stock(What::set, 5, 1));
    REQUIRE(office.stock(What::order, 3));
    CHECK(office.shelf() == upkeep::Stock{5, 4});
    REQUIRE(office.stock(What::receive, 3));
    CHECK(office.shelf() == upkeep::Stock{8, 1});
    REQUIRE(office.stock(What::receive, 2));  // more than were on order
    CHECK(office.shelf() == upkeep::Stock{10, 0});
    const auto used = office.stock(What::use, 4);
    REQUIRE(used);
    CHECK(used->stock == upkeep::Stock{6, 0});
    const auto too_many = office.stock(What::use, 7);
    REQUIRE_FALSE(too_many);
    CHECK(too_many.error().kind == model::Error::Kind::invalid);
    CHECK(too_many.error().what == "only 6 are on the shelf; set says how many there are");
  }
  Office again(folder.path());
  CHECK(again.shelf() == upkeep::Stock{6, 0});
}

TEST_CASE("a cartridge that was replaced is taken from the stock of its part, once, and that is written down") {
  TemporaryFolder folder;
  Office office(folder.path());
  REQUIRE(office.stock(What::set, 1));
  office.desk.replaced(replaced("Quillon Toner QX-4100K"));
  CHECK(office.shelf().on_shelf == 0);
  office.desk.replaced(replaced("Quillon Toner QX-4100K"));  // bought elsewhere: the shelf owes nothing
  CHECK(office.shelf().on_shelf == 0);
  office.desk.replaced(replaced("Quillon Drum QD-77"));
  CHECK(office.desk.books().stock.size() == 1);
  office.desk.replaced(replaced("black toner"));  // nobody knows which part that is
  CHECK(office.desk.books().stock.size() == 1);

  using Records = std::vector<model::AuditRecord>;
  const auto records =
      office.answer<Records>([&](auto done) { office.ledger.read_audit(model::AuditWindow{}, std::move(done)); });
  REQUIRE(records);
  REQUIRE(records->size() == 1);
  CHECK(records->front().target == "QX-4100K");
  CHECK(records->front().detail == R"({"act":"use","count":1,"device":"moss"})");
}

TEST_CASE("the outlook is made soon after the start, again two minutes later, and then at most once an hour") {
  TemporaryFolder folder;
  Office office(folder.path());
  office.pass(4s);
  CHECK_FALSE(office.made_at());
  office.heard();
  const auto first = office.look(1s);
  REQUIRE(first);
  CHECK(office.desk.outlook()->devices.contains("moss"));
  CHECK(office.desk.setup() != nullptr);
  CHECK(office.desk.reliability() != nullptr);
  const auto second = office.look(2min);
  REQUIRE(second);
  office.pass(59min);
  CHECK(office.made_at() == second);
  CHECK(office.look(1min));
}

TEST_CASE("a new configuration is looked at within seconds, and a device that was serviced at once") {
  TemporaryFolder folder;
  Office office(folder.path());
  office.heard();
  REQUIRE(office.look(5s));
  REQUIRE(office.look(2min));
  office.desk.configure();
  const auto configured = office.look(5s);
  REQUIRE(configured);

  const auto& tasks = office.desk.outlook()->devices.at("moss")->tasks;
  REQUIRE_FALSE(tasks.empty());
  const auto key = tasks.front().key;
  const auto now = office.clock.wall_now();
  const auto told = office.answer<upkeep::TaskStatus>([&](auto done) {
    office.desk.serviced({"moss", key, now, "robin", ""}, std::move(done));
  });
  REQUIRE(told);
  REQUIRE(told->last);
  CHECK(told->last->by == "robin");
  const auto last_of = [&] {
    const auto& all = office.desk.outlook()->devices.at("moss")->tasks;
    return std::ranges::find(all, key, &upkeep::TaskStatus::key)->last;
  };
  REQUIRE(last_of());
  CHECK(last_of()->at == now);
  office.desk.tick();
  REQUIRE(office.until([&] {
    const auto last = last_of();
    return last && last->shown;
  }));
  CHECK(last_of()->shown == 4000U);
}

TEST_CASE("a complaint keeps its id while it is open, takes what is learnt, and ends with its cause") {
  TemporaryFolder folder;
  std::string id;
  {
    Office office(folder.path());
    office.heard();
    const auto first = office.complain("faded");
    REQUIRE(first);
    id = first->complaint.id;
    REQUIRE_FALSE(first->diagnosis.causes.empty());
    REQUIRE_FALSE(first->diagnosis.checks.empty());
    const auto check = first->diagnosis.checks.front().observation;
    const auto again = office.complain("faded", {{check, true}});
    REQUIRE(again);
    CHECK(again->complaint.id == id);
    CHECK(again->complaint.known.at(check));
    CHECK(office.complain("streaks")->complaint.id != id);
    const auto wrong = office.complain("sings");
    REQUIRE_FALSE(wrong);
    CHECK(wrong.error().kind == model::Error::Kind::invalid);
    CHECK(office.desk.books().complaints.size() == 2);

    const auto& before = again->diagnosis;
    const auto cause = before.causes.back().cause;
    const auto close = [&](const std::string& which) {
      return office.answer<upkeep::Complaint>([&](auto told) {
        office.desk.outcome(which, {"faded", cause, {}}, std::move(told));
      });
    };
    const auto closed = close(id);
    REQUIRE(closed);
    CHECK(closed->cause == cause);
    CHECK(closed->closed_at == office.clock.wall_now());
    CHECK_FALSE(close("none"));
    // What was found moves the table: the same words make this cause likelier than they did.
    const auto share_of = [&](const upkeep::Diagnosis& diagnosis) {
      return std::ranges::find(diagnosis.causes, cause, &upkeep::Ranked::cause)->probability;
    };
    const auto later = upkeep::diagnose(office.desk.complaints(), "faded", again->complaint.known);
    REQUIRE(later);
    CHECK(share_of(*later) > share_of(before));
    CHECK(office.complain("faded")->complaint.id != id);
  }
  Office again(folder.path());
  const auto& complaints = again.desk.books().complaints;
  REQUIRE(complaints.size() == 3);
  CHECK(std::ranges::count_if(complaints, [](const auto& complaint) { return !complaint.cause.empty(); }) == 1);
  CHECK(again.complain("blank")->complaint.id != id);
}

TEST_CASE("without a store there is no outlook and no history, and people are still answered") {
  TemporaryFolder folder;
  Office office(folder.write("file", "") / "folder");
  CHECK(office.opened);
  CHECK_FALSE(office.ledger.take_history_source());
  office.pass(1h);
  CHECK_FALSE(office.made_at());
  CHECK(office.desk.round({}).stops.empty());
  REQUIRE(office.stock(What::set, 2));
  CHECK(office.shelf().on_shelf == 2);
  const auto history =
      office.answer<http::ToldHistory>([&](auto done) { office.desk.history({"moss"}, std::move(done)); });
  REQUIRE_FALSE(history);
  CHECK(history.error().kind == model::Error::Kind::local);
}
