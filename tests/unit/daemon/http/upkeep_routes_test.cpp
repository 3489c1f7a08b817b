// What can be read of upkeep, and what people tell of it, from the request to the answer.
#include "daemon/http/routes.h"

#include <catch2/catch.hpp>

#include "daemon/http/upkeep.h"
#include "daemon/json/forms.h"
#include "fixtures.h"

using namespace frisket;
using namespace frisket::testing;
using http::Response;
using json::Json;
using model::Error;
using model::WallTime;

namespace {

upkeep::Calendar utc() { return *upkeep::Calendar::of("UTC"); }

// A desk that knows one copier, and remembers what it is told.
struct Kept final : http::Upkeep {
  std::shared_ptr<upkeep::Outlook> made;
  upkeep::OutlookSetup of;
  upkeep::Books kept;
  http::RoundAsked round_asked;
  http::HistoryAsked history_asked;
  std::vector<std::pair<http::StockAct, StockTold>> stock_acts;
  std::vector<std::pair<upkeep::ServiceDone, ServiceTold>> services;
  std::vector<std::pair<upkeep::Complaint, ComplaintTold>> complained;
  std::vector<std::pair<upkeep::Outcome, OutcomeTold>> outcomes;

  Kept() {
    of.calendars.emplace("glasshouse", utc());
    of.devices.push_back({"herbarium-copier",
                          "glasshouse",
                          {"Quillon", "LX 4100", "", ""},
                          std::make_shared<const std::vector<upkeep::ServiceTask>>(std::vector<upkeep::ServiceTask>{
                              {"dust", "Clean out <dust>", 30000, 365, "", {}, 15, {"careful"}, {"wipe"}}}),
                          {}});
  }
  void make() {
    made = std::make_shared<upkeep::Outlook>();
    made->made_at = kEight;
    auto device = std::make_shared<upkeep::DeviceOutlook>();
    device->name = "herbarium-copier";
    device->site = "glasshouse";
    device->identity = {"Quillon", "LX 4100", "", "4.18"};
    upkeep::TaskStatus status;
    status.key = "dust";
    status.due = upkeep::Due::due;
    status.share = 1.004;
    device->tasks = {status};
    device->months = {{std::chrono::year{2026} / 1, 1234, {upkeep::MeterFlag::reset}}};
    made->devices["herbarium-copier"] = device;
    upkeep::OrderLine wanted;
    wanted.part.number = "QX-701A";
    wanted.wanted = 4;
    wanted.part.pack_size = 2;
    upkeep::OrderLine enough;
    enough.part.number = "QX-702C";
    made->order = {wanted, enough};
  }

  const upkeep::Outlook* outlook() const override { return made.get(); }
  const upkeep::OutlookSetup* setup() const override { return made ? &of : nullptr; }
  std::optional<upkeep::FleetReliability> lately;
  const upkeep::FleetReliability* reliability() const override { return lately ? &*lately : nullptr; }
  const upkeep::Books& books() const override { return kept; }
  const upkeep::ComplaintTable& complaints() const override { return upkeep::default_complaints(); }
  upkeep::RoundPlan round(const http::RoundAsked& asked) const override {
    const_cast<Kept*>(this)->round_asked = asked;
    upkeep::RoundPlan plan;
    plan.stops = {{"herbarium-copier",
                   {"Herbarium", 1, ""},
                   {{"i1",
                     "i1",
                     "",
                     model::Severity::major,
                     1,
                     "Jam <b>",
                     5,
                     50,
                     "why",
                     {"careful"},
                     {"pull"},
                     {{"QX-701A", "Quillon", "black", 1}}}}}};
    plan.carry = {{"QX-701A", "Quillon", "black", 1}};
    plan.left = {{"herbarium-copier", {}, {{"x", "", "", {}, {}, "later", 5, 1, "can wait", {}, {}, {}}}}};
    return plan;
  }
  void history(http::HistoryAsked asked, HistoryTold done) override {
    history_asked = asked;
    if (asked.resolution == upkeep::Resolution::raw) return done(Error{Error::Kind::invalid, "", "", "too many"});
    http::ToldHistory told{{kEight, kEight + std::chrono::days{1}}, {}};
    told.lines.series.push_back({{}, {}, {{kEight, 7.0}, {kEight, std::nullopt}}});
    done(told);
  }
  void stock(http::StockAct act, StockTold done) override { stock_acts.emplace_back(act, done); }
  void serviced(upkeep::ServiceDone done, ServiceTold told) override { services.emplace_back(done, told); }
  void complain(upkeep::Complaint complaint, ComplaintTold told) override { complained.emplace_back(complaint, told); }
  void outcome(const std::string&, upkeep::Outcome outcome, OutcomeTold told) override {
    outcomes.emplace_back(outcome, told);
  }
};

struct Asked final : http::Commands {
  Kept kept;
  http::Upkeep* upkeep() override { return &kept; }
  void act(const std::string&, incidents::OperatorAction, Acted) override {}
  void test_hook(const std::string&, Tested) override {}
  void act_on_queue(http::QueueAct, QueueActed) override {}
  void test_print(http::TestPrint, TestPrinted) override {}
};

struct Desk {
  http::FleetBoard board{"run", {}};
  Asked commands;
  Kept& kept = commands.kept;
  std::optional<Response> later;

  Desk() {
    board.configure(two_sites());
    kept.make();
  }
  Response ask(std::string target, std::string body = "") {
    http::Request request;
    request.method = body.empty() ? "GET" : "POST";
    request.target = std::move(target);
    request.host = "localhost";
    request.content_type = "application/json";
    request.body = std::move(body);
    request.now = kEight;
    auto response = respond(request, board, {}, &commands);
    if (!response.later) return response;
    later.reset();
    response.later([this](Response answer) { later = std::move(answer); });
    return later ? *later : response;
  }
  Json json_of(const std::string& target) {
    const auto response = ask(target);
    INFO(response.body.text());
    REQUIRE(response.status == 200);
    return Json::parse(response.body.text());
  }
  std::string refused(const std::string& target, const std::string& body = "", unsigned status = 400) {
    const auto response = ask(target, body);
    CHECK(response.status == status);
    return Json::parse(response.body.text()).at("detail");
  }
};

}  // namespace

TEST_CASE("the order list can be cut to what is to be ordered, and is read page by page") {
  Desk desk;
  const auto all = desk.json_of("/v1/order");
  REQUIRE(all.at("items").size() == 2);
  CHECK(all.at("made_at") == model::to_rfc3339(kEight));
  CHECK(all.at("items")[0].at("packs") == 2);
  CHECK(desk.json_of("/v1/order?wanted=true").at("items").size() == 1);
  const auto first = desk.json_of("/v1/order?limit=1");
  CHECK(first.at("next") == "QX-701A");
  const auto second = desk.json_of("/v1/order?limit=1&after=QX-701A");
  CHECK(second.at("items")[0].at("part") == "QX-702C");
  CHECK(second.at("next").is_null());
  // Gone meanwhile: an empty page would be taken for the end.
  CHECK(desk.refused("/v1/order?limit=1&after=QX-700Y") ==
        "after is 'QX-700Y', which is not in this list, or no longer: begin without it");
}

TEST_CASE("before the first outlook the lists are empty and say so") {
  Desk desk;
  desk.kept.made.reset();
  for (const auto* path : {"/v1/order", "/v1/upkeep", "/v1/meter"}) {
    const auto list = desk.json_of(path);
    CHECK(list.at("items").empty());
    CHECK(list.at("made_at").is_null());
  }
  CHECK(desk.json_of("/v1/reliability").at("from").is_null());
  CHECK(desk.json_of("/v1/round").at("made_at").is_null());
}

TEST_CASE("the service plan lists tasks with their remedy, and filters by state") {
  Desk desk;
  const auto items = desk.json_of("/v1/upkeep?state=due,overdue").at("items");
  REQUIRE(items.size() == 1);
  CHECK(items[0].at("id") == "herbarium-copier:dust");
  CHECK(items[0].at("share") == 1.0);
  CHECK(items[0].at("remedy").at("steps") == Json::array({"wipe"}));
  CHECK(desk.json_of("/v1/upkeep?state=later").at("items").empty());
  CHECK(desk.json_of("/v1/upkeep?site=alpine-house").at("items").empty());
  CHECK(desk.ask("/v1/upkeep?state=tomorrow").status == 400);
}

TEST_CASE("the meter is of the month asked for, else of the last that is over") {
  Desk desk;
  const auto january = desk.json_of("/v1/meter?month=2026-01").at("items");
  REQUIRE(january.size() == 1);
  CHECK(january[0].at("impressions") == 1234);
  CHECK(january[0].at("flags") == Json::array({"reset"}));
  CHECK(january[0].at("maker") == "Quillon");
  CHECK(january[0].at("model") == "LX 4100");
  CHECK(january[0].at("serial").is_null());              // the device does not say
  CHECK(desk.json_of("/v1/meter").at("items").empty());  // February
  for (const auto* bad : {"2026", "2026-13", "2026-1", "january"})
    CHECK(desk.ask(std::string("/v1/meter?month=") + bad).status == 400);
}

TEST_CASE("impressions in colour stand apart, and the rest only where the two fit together") {
  Desk desk;
  const auto january = [&] { return desk.json_of("/v1/meter?month=2026-01").at("items").at(0); };
  CHECK(january().at("colour").is_null());
  CHECK(january().at("monochrome").is_null());
  CHECK(january().at("colour_flags").empty());
  auto device = std::make_shared<upkeep::DeviceOutlook>(*desk.kept.made->devices.at("herbarium-copier"));
  auto& months = device->colour_months;
  const auto told = [&](double impressions, std::vector<upkeep::MeterFlag> flags) {
    months = {{std::chrono::year{2026} / 1, impressions, std::move(flags)}};
    desk.kept.made->devices["herbarium-copier"] = std::make_shared<upkeep::DeviceOutlook>(*device);
    return january();
  };
  auto item = told(234, {upkeep::MeterFlag::reset});
  CHECK(item.at("colour") == 234);
  CHECK(item.at("monochrome") == 1000);
  CHECK(item.at("colour_flags") == Json::array({"reset"}));
  item = told(234, {upkeep::MeterFlag::incomplete});  // told for a part of the month
  CHECK(item.at("colour") == 234);
  CHECK(item.at("monochrome").is_null());
  CHECK(told(234, {}).at("monochrome").is_null());
  CHECK(told(1235, {upkeep::MeterFlag::reset}).at("monochrome").is_null());
}

TEST_CASE("reliability tells where a device jams, and how its model does, in figures that can be missing") {
  Desk desk;
  auto& lately = desk.kept.lately.emplace();
  lately.window = {kEight - upkeep::kLately, kEight};
  auto& copier = lately.devices["herbarium-copier"];
  copier.device = "herbarium-copier";
  copier.identity.model = "LX 4100";
  copier.jams = 3;
  copier.places = {{"Tray 2", 2}, {"", 1}};
  upkeep::JamFigure figure;
  figure.rate = *upkeep::rate(3, 20000);
  figure.worse = true;
  lately.models = {{"Quillon", "LX 4100", 2, 3, 20000, figure}, {"", "Moss", 1, 0, 0, {}}};
  const auto told = desk.json_of("/v1/reliability");
  const auto& item = told.at("items")[0];
  CHECK(item.at("maker").is_null());
  CHECK(item.at("model") == "LX 4100");
  CHECK(item.at("places") == Json::array({{{"place", "Tray 2"}, {"jams", 2}}, {{"place", nullptr}, {"jams", 1}}}));
  CHECK(item.at("rate").is_null());
  CHECK_FALSE(item.at("worse"));
  const auto& models = told.at("models");
  REQUIRE(models.size() == 2);
  CHECK(models[0].at("rate").at("value") == 1.5);
  CHECK(models[0].at("worse"));
  CHECK(models[1].at("maker").is_null());
  CHECK(models[1].at("rate").is_null());
  CHECK(desk.json_of("/v1/reliability?device=nobody").at("items").empty());
}

TEST_CASE("the time between incidents of a kind is told with its limits, and no upper one where nothing has happened") {
  Desk desk;
  auto& lately = desk.kept.lately.emplace();
  // A week of one device; Garwood 1936, table: 2 events, 95 %: 0.2422 to 7.2247, and none: 0 to 3.6889.
  using std::chrono::hours;
  const upkeep::Span week{kEight - hours(168), kEight};
  const std::vector<upkeep::DeviceIncidents> twice{{{{"media-jam", kEight - hours(10), kEight - hours(9), true},
                                                     {"media-jam", kEight - hours(1), std::nullopt, true}},
                                                    {}}};
  lately.kinds = {{"media-jam", upkeep::repair_figures(twice, hours(168), week)},
                  {"toner-low", upkeep::repair_figures({}, hours(168), week)}};
  const auto kinds = desk.json_of("/v1/reliability").at("kinds");
  REQUIRE(kinds.size() == 2);
  CHECK(kinds[0].at("incidents") == 2);
  CHECK(kinds[0].at("open") == 1);
  CHECK(kinds[0].at("mean_between_hours") == 83.0);        // 166 / 2
  CHECK(kinds[0].at("mean_between_low_hours") == 23.0);    // 166 / 7.2247
  CHECK(kinds[0].at("mean_between_high_hours") == 685.4);  // 166 / 0.2422
  CHECK(kinds[1].at("mean_between_hours").is_null());
  CHECK(kinds[1].at("mean_between_low_hours") == 45.5);  // 168 / 3.6889
  CHECK(kinds[1].at("mean_between_high_hours").is_null());
}

TEST_CASE("a round is asked for with its site, days and minutes, and tells what to carry and what waits") {
  Desk desk;
  desk.kept.kept.stock["QX-701A"] = {3, 0};
  const auto round = desk.json_of("/v1/round?site=glasshouse&days=14&minutes=90");
  CHECK(desk.kept.round_asked.site == "glasshouse");
  CHECK(desk.kept.round_asked.days == 14);
  CHECK(desk.kept.round_asked.minutes == 90);
  CHECK(round.at("stops")[0].at("jobs")[0].at("what") == "Jam <b>");
  CHECK(round.at("stops")[0].at("jobs")[0].at("incident") == "i1");
  CHECK(round.at("stops")[0].at("jobs")[0].at("task").is_null());
  CHECK(round.at("carry")[0].at("on_hand") == 3);
  CHECK(round.at("left_out")[0].at("why") == "can wait");
  for (const auto* bad : {"days=0", "days=367", "days=x", "minutes=0", "minutes=1441", "day=1"})
    CHECK(desk.ask(std::string("/v1/round?") + bad).status == 400);
  CHECK(desk.ask("/v1/round?site=nowhere").status == 404);
}

TEST_CASE("history is asked for with its span and resolution") {
  Desk desk;
  const auto told = desk.json_of(
      "/v1/devices/herbarium-copier/history?from=2026-01-01T00:00:00Z&to=2026-02-01T00:00:00Z&resolution=week");
  CHECK(desk.kept.history_asked.resolution == upkeep::Resolution::week);
  CHECK(desk.kept.history_asked.from == model::from_rfc3339("2026-01-01T00:00:00Z"));
  CHECK(told.at("series")[0].at("points")[0][1] == 7);
  CHECK(told.at("series")[0].at("points")[1][1].is_null());
  CHECK(desk.ask("/v1/devices/herbarium-copier/history?resolution=raw").status == 409);
  CHECK(desk.ask("/v1/devices/nobody/history").status == 404);
  for (const auto* bad : {"from=yesterday", "resolution=minute", "resolution=day,week",
                          "from=2026-02-01T00:00:00Z&to=2026-01-01T00:00:00Z"})
    CHECK(desk.ask(std::string("/v1/devices/herbarium-copier/history?") + bad).status == 400);
}

TEST_CASE("stock is told of with what, which and how many") {
  Desk desk;
  CHECK(desk.ask("/v1/stock", R"({"part": "QX-701A", "act": "receive", "count": 4, "by": "robin"})").status == 202);
  REQUIRE(desk.kept.stock_acts.size() == 1);
  const auto& [act, told] = desk.kept.stock_acts[0];
  CHECK(act.what == http::StockAct::What::receive);
  CHECK(act.part == "QX-701A");
  CHECK(act.count == 4);
  told(upkeep::StockLevel{"QX-701A", {4, 0}});
  REQUIRE(desk.later);
  CHECK(Json::parse(desk.later->body.text()) == Json{{"part", "QX-701A"}, {"on_hand", 4}, {"on_order", 0}});
}

TEST_CASE("a body about stock that is not well said is refused with what is wrong") {
  Desk desk;
  CHECK(desk.refused("/v1/stock", R"({"act": "set", "count": 1})") == "part is missing");
  CHECK(desk.refused("/v1/stock", R"({"part": "a", "act": "eat", "count": 1})") ==
        "act must be one of set, order, receive, use");
  CHECK(desk.refused("/v1/stock", R"({"part": "a", "act": "set"})") == "count is missing");
  for (const auto* count : {"-1", "1.5", "\"1\"", "100001", "true"})
    CHECK(desk.refused("/v1/stock", R"({"part": "a", "act": "set", "count": )" + std::string(count) + "}") ==
          "count must be a whole number from 0 to 100000");
  CHECK(desk.refused("/v1/stock", R"({"part": "a", "act": "use", "count": 1, "on_order": 1})") ==
        "on_order means something with set only");
  CHECK(desk.refused("/v1/stock", "[]").find("no JSON object") != std::string::npos);
  CHECK(desk.kept.stock_acts.empty());
}

TEST_CASE("what cannot be is 409, and what the store cannot keep is 503") {
  Desk desk;
  desk.ask("/v1/stock", R"({"part": "a", "act": "use", "count": 1})");
  desk.kept.stock_acts[0].second(Error{Error::Kind::invalid, "", "", "only 0 are on the shelf"});
  CHECK(desk.later->status == 409);
}

TEST_CASE("a task is said to be done by its id, at a time that is over") {
  Desk desk;
  CHECK(desk.ask("/v1/upkeep/herbarium-copier:dust/done", R"({"by": "robin", "at": "2026-01-04T08:00:00Z"})").status ==
        202);
  REQUIRE(desk.kept.services.size() == 1);
  CHECK(desk.kept.services[0].first.device == "herbarium-copier");
  CHECK(desk.kept.services[0].first.task == "dust");
  CHECK(desk.kept.services[0].first.at == kEight - std::chrono::days{1});
  desk.kept.services[0].second(upkeep::TaskStatus{"dust", upkeep::Due::later, 0, {}, nullptr, 0, 0, {}});
  CHECK(Json::parse(desk.later->body.text()).at("state") == "later");
  CHECK(desk.refused("/v1/upkeep/herbarium-copier:dust/done", R"({"at": "2026-01-06T08:00:00Z"})") ==
        "at is still to come");
  CHECK(desk.ask("/v1/upkeep/herbarium-copier:fuser/done", "{}").status == 404);
  CHECK(desk.ask("/v1/upkeep/nobody/done", "{}").status == 404);
}

TEST_CASE("a complaint is told with its symptom and what was observed, and answered with a diagnosis") {
  Desk desk;
  CHECK(desk.ask("/v1/devices/herbarium-copier/complaints", R"({"symptom": "faded", "known": {"repeats": true}})")
            .status == 202);
  REQUIRE(desk.kept.complained.size() == 1);
  auto [complaint, told] = desk.kept.complained[0];
  CHECK(complaint.known == upkeep::Known{{"repeats", true}});
  complaint.id = "c1";
  const auto diagnosis = upkeep::diagnose(upkeep::default_complaints(), "faded", complaint.known);
  told(http::ToldComplaint{complaint, *diagnosis});
  const auto answer = Json::parse(desk.later->body.text());
  CHECK(answer.at("id") == "c1");
  CHECK(answer.at("title") == "Print is faded");
  CHECK(answer.at("causes")[0].at("cause") == "drum-worn");
  CHECK(answer.at("causes")[0].at("evidence")[0].at("observation") == "repeats");
  CHECK_FALSE(answer.at("checks").empty());
  CHECK(desk.refused("/v1/devices/herbarium-copier/complaints", R"({"symptom": "sad"})").find("faded") !=
        std::string::npos);
  CHECK(desk.refused("/v1/devices/herbarium-copier/complaints", R"({"symptom": "faded", "known": {"x": true}})")
            .find("repeats") != std::string::npos);
  CHECK(desk.ask("/v1/devices/nobody/complaints", R"({"symptom": "faded"})").status == 404);
}

TEST_CASE("an outcome needs a cause that there is, and a complaint that is known") {
  Desk desk;
  upkeep::Complaint complaint;
  complaint.id = "c1";
  complaint.device = "herbarium-copier";
  desk.kept.kept.complaints = {complaint};
  CHECK(desk.ask("/v1/complaints/c1/outcome", R"({"cause": "drum-worn"})").status == 202);
  REQUIRE(desk.kept.outcomes.size() == 1);
  CHECK(desk.kept.outcomes[0].first.cause == "drum-worn");
  CHECK(desk.ask("/v1/complaints/c2/outcome", R"({"cause": "drum-worn"})").status == 404);
  CHECK(desk.refused("/v1/complaints/c1/outcome", R"({"cause": "moths"})").find("drum-worn") != std::string::npos);
  CHECK(desk.json_of("/v1/complaints").at("items")[0].at("cause").is_null());
}

TEST_CASE("where nobody keeps upkeep its routes say so") {
  Desk desk;
  http::Request request;
  request.target = "/v1/order";
  request.host = "localhost";
  request.now = kEight;
  CHECK(respond(request, desk.board, {}).status == 503);
}
