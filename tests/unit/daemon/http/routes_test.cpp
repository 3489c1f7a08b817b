#include "daemon/http/routes.h"

#include <catch2/catch.hpp>
#include <map>

#include "daemon/http/page_files.h"
#include "daemon/json/forms.h"
#include "fixtures.h"

using namespace frisket;
using namespace frisket::testing;
using http::Response;
using incidents::DeviceState;
using json::Json;
using model::Severity;

namespace {

struct Garden {
  http::FleetBoard board{"run", {}};

  Garden() {
    board.configure(two_sites());
    auto low = answered(DeviceState::attention, {toner(1, 4)});
    low.conditions = {low_toner(1)};
    board.publish_device("herbarium-copier", low, kEight);
    board.publish_device("seed-bank/label", answered(DeviceState::ready, {toner(1, 80)}), kEight);
    board.publish_transition(raised(incident("i1", Severity::critical)));
    board.publish_transition(cleared(incident("i2", Severity::warning, "seed-bank/label", "alpine-house")));
  }

  Response ask(std::string target, std::string method = "GET") {
    http::Request request;
    request.method = std::move(method);
    request.target = std::move(target);
    request.host = "localhost";
    request.now = kEight;
    return respond(request, board, {});
  }

  Json json_of(std::string target) {
    const auto response = ask(std::move(target));
    REQUIRE(response.status == 200);
    CHECK(response.field("Content-Type") == "application/json");
    return Json::parse(response.body.text());
  }
};

}  // namespace

TEST_CASE("each target has its status") {
  struct Row {
    const char* target;
    unsigned status;
  };
  const Row rows[] = {
      {"/", 200},
      {"/?x=1", 200},
      {"/page/page.js", 200},
      {"/page/none.js", 404},
      {"/page/", 404},
      {"/page/..%2fpage.js", 404},
      {"/metrics", 200},
      {"/metrics?x=1", 400},
      {"/v1/openapi.json", 200},
      {"/v1/health", 200},
      {"/v1/fleet", 200},
      {"/v1/devices", 200},
      {"/v1/devices/herbarium-copier", 200},
      {"/v1/devices/herbarium%2Dcopier", 200},
      {"/v1/devices/seed-bank%2Flabel", 200},
      {"/v1/devices/seed-bank/label", 404},
      {"/v1/devices/nobody", 404},
      {"/v1/devices/", 404},
      {"/v1/devices//", 404},
      {"/v1/devices/..", 404},
      {"/v1/devices/%2e%2e", 404},
      {"/v1/devices/../fleet", 404},
      {"/v1/devices/%00", 400},
      {"/v1/devices/a%0d%0ab", 400},
      {"/v1/devices/%ff", 400},
      {"/v1/devices/%", 400},
      {"/v1/supplies", 200},
      {"/v1/incidents", 200},
      {"/v1/incidents/i1", 200},
      {"/v1/incidents/i2", 200},
      {"/v1/incidents/i3", 404},
      {"/v1/events", 200},
      {"/v1", 404},
      {"/v1/", 404},
      {"//v1/fleet", 404},
      {"/v1//fleet", 404},
      {"/v1/fleet/", 404},
      {"/V1/fleet", 404},
      {"/v2/fleet", 404},
      {"/../v1/fleet", 404},
      {"/v1/fleet?x=1", 400},
      {"/v1/devices?limit=0", 400},
      {"/v1/devices?limit=10001", 400},
      {"/v1/devices?limit=-1", 400},
      {"/v1/devices?limit=1x", 400},
      {"/v1/devices?limit=", 400},
      {"/v1/devices?limit=99999999999999999999", 400},
      {"/v1/devices?limit=1&limit=2", 400},
      {"/v1/devices?after=", 400},
      {"/v1/devices?after=zzz", 200},
      {"/v1/devices?state=red", 400},
      {"/v1/devices?state=", 400},
      {"/v1/devices?state=ready,red", 400},
      {"/v1/devices?kind=x", 400},
      {"/v1/supplies?low=yes", 400},
      {"/v1/incidents?severity=worst", 400},
      {"/v1/incidents?state=open", 400},
      {"/v1/incidents?operator=me", 400},
      {"/v1/incidents?site=nowhere", 200},
      {"*", 400},
      {"", 400},
  };
  Garden garden;
  for (const auto& row : rows) {
    CAPTURE(row.target);
    CHECK(garden.ask(row.target).status == row.status);
  }
}

TEST_CASE("an error is a problem as RFC 9457 has it") {
  Garden garden;
  const auto response = garden.ask("/v1/incidents?state=red");
  CHECK(response.field("Content-Type") == "application/problem+json");
  CHECK(response.body.text() ==
        R"({"type":"about:blank","title":"Bad Request","status":400,)"
        R"("detail":"parameter state is 'red'; allowed: raised, cleared","instance":"/v1/incidents"})");
}

TEST_CASE("a refusal names what would have been understood") {
  Garden garden;
  const auto detail = [&](const char* target) { return Json::parse(garden.ask(target).body.text()).at("detail"); };
  CHECK(detail("/v1/supplies?colour=red") ==
        "no parameter 'colour' here; allowed: device, site, low, limit, after, fields");
  CHECK(detail("/v1/fleet?x") == "no parameter 'x' here; allowed: none");
  CHECK(detail("/v1/supplies?low=1") == "parameter low is '1'; allowed: true, false");
  CHECK(detail("/v1/devices?limit=none") == "parameter limit is 'none'; allowed: 1 to 10000");
  CHECK(detail("/v1/devices?site=a&site=b") == "parameter 'site' comes twice; give several values with commas");
}

TEST_CASE("every method that a path does not have is refused with the list of those allowed") {
  Garden garden;
  std::map<std::string_view, std::vector<std::string_view>> methods;  // by path, GET before POST
  for (const auto& route : http::route_names()) methods[route.path].push_back(route.method);
  for (const auto* method : {"POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "get", "BREW"}) {
    CAPTURE(method);
    for (const auto& [documented, taken] : methods) {
      if (std::ranges::find(taken, method) != taken.end()) continue;
      std::string path(documented);
      if (const auto brace = path.find('{'); brace != std::string::npos)
        path.replace(brace, path.find('}') + 1 - brace, "x");
      CAPTURE(path);
      std::string allowed;
      for (const auto each : taken)
        allowed.append(allowed.empty() ? "" : ", ").append(each).append(each == "GET" ? ", HEAD" : "");
      const auto response = garden.ask(path, method);
      CHECK(response.status == 405);
      CHECK(response.field("Allow") == allowed);
    }
  }
  CHECK(garden.ask("/nothing", "POST").status == 404);
}

TEST_CASE("HEAD is answered as GET, to be sent without the body") {
  Garden garden;
  for (const auto& route : http::route_names()) {
    auto path = std::string(route.path);
    if (const auto brace = path.find('{'); brace != std::string::npos) path.replace(brace, std::string::npos, "x");
    CAPTURE(path);
    const auto get = garden.ask(path);
    const auto head = garden.ask(path, "HEAD");
    CHECK(head.status == get.status);
    CHECK(head.body.text() == get.body.text());
    CHECK(head.head_only);
    CHECK_FALSE(get.head_only);
  }
}

TEST_CASE("every answer keeps browsers from guessing, framing, caching and telling") {
  Garden garden;
  for (const auto* target : {"/", "/page/page.js", "/v1/fleet", "/v1/events", "/v1/nothing", "/v1/devices?x=1"}) {
    CAPTURE(target);
    const auto response = garden.ask(target);
    CHECK(response.field("X-Content-Type-Options") == "nosniff");
    CHECK(response.field("Referrer-Policy") == "no-referrer");
    // Whatever is kept is asked about before it is shown again (RFC 9111 section 5.2.2.4).
    CHECK(response.field("Cache-Control") == (response.field("ETag") ? "private, no-cache" : "no-store"));
    CHECK(response.field("Content-Security-Policy").value().starts_with("default-src 'self';"));
    CHECK_FALSE(response.field("Access-Control-Allow-Origin"));
  }
}

TEST_CASE("a request under a foreign name is misdirected, whatever it asks") {
  Garden garden;
  http::Request request;
  request.target = "/v1/fleet";
  request.host = "printers.example.org";
  CHECK(respond(request, garden.board, {}).status == 421);
  request.host = "localhost:9640";
  CHECK(respond(request, garden.board, {}).status == 200);
  request.target = "http://printers.example.org/v1/fleet";
  CHECK(respond(request, garden.board, {}).status == 421);
  request.host = "printers.example.org";
  request.target = "http://127.0.0.1:9640/v1/fleet";
  CHECK(respond(request, garden.board, {}).status == 200);
  request.target = "/v1/fleet";
  CHECK(respond(request, garden.board, {.checked = false, .names = {}}).status == 200);
}

TEST_CASE("lists say whether more follows, and where to go on") {
  Garden garden;
  const auto first = garden.json_of("/v1/devices?limit=2");
  CHECK(first.at("items").size() == 2);
  CHECK(first.at("next") == "library-laser");
  const auto second = garden.json_of("/v1/devices?limit=2&after=library-laser");
  REQUIRE(second.at("items").size() == 1);
  CHECK(second.at("items")[0].at("name") == "seed-bank/label");
  CHECK(second.at("next").is_null());
}

TEST_CASE("filters narrow each list") {
  struct Row {
    const char* target;
    std::size_t items;
  };
  const Row rows[] = {
      {"/v1/devices", 3},
      {"/v1/devices?site=glasshouse", 2},
      {"/v1/devices?site=glasshouse,alpine-house", 3},
      {"/v1/devices?state=unknown", 1},
      {"/v1/devices?state=ready,attention", 2},
      {"/v1/devices?state=ready&site=glasshouse", 0},
      {"/v1/supplies", 2},
      {"/v1/supplies?low=true", 1},
      {"/v1/supplies?low=false", 1},
      {"/v1/supplies?device=seed-bank%2Flabel", 1},
      {"/v1/supplies?site=alpine-house&low=true", 0},
      {"/v1/incidents", 2},
      {"/v1/incidents?state=raised", 1},
      {"/v1/incidents?state=raised,cleared", 2},
      {"/v1/incidents?severity=warning", 1},
      {"/v1/incidents?operator=none", 2},
      {"/v1/incidents?operator=ack", 0},
      {"/v1/incidents?kind=media-jam&device=herbarium-copier", 1},
      {"/v1/incidents?site=alpine-house", 1},
      {"/v1/incidents?after=i1", 1},
  };
  Garden garden;
  for (const auto& row : rows) {
    CAPTURE(row.target);
    CHECK(garden.json_of(row.target).at("items").size() == row.items);
  }
}

TEST_CASE("an event stream begins with an id to come back with, and then with what happens next") {
  Garden garden;
  const auto response = garden.ask("/v1/events");
  CHECK(response.field("Content-Type") == "text/event-stream");
  const auto newest = garden.board.events().newest();
  REQUIRE(response.follow);
  CHECK(response.follow->position == newest);
  CHECK(response.body.text() == "retry: 2000\nid: run-" + std::to_string(newest) + "\n\n");
}

TEST_CASE("an event stream goes on behind the event that its reader saw last") {
  Garden garden;
  http::Request request;
  request.target = "/v1/events";
  request.host = "localhost";
  request.last_event_id = "run-1";
  const auto response = respond(request, garden.board, {});
  REQUIRE(response.follow);
  CHECK(response.follow->position == 1);
  CHECK(response.body.text() == "retry: 2000\nid: run-1\n\n");
}

TEST_CASE("a reader whose last event is not known is told of the gap, whatever it calls it") {
  Garden garden;
  for (const auto* id : {"other-1", "run-99", "", "\"}\n\ndata: x", "\xff"}) {
    CAPTURE(id);
    http::Request request;
    request.target = "/v1/events";
    request.host = "localhost";
    request.last_event_id = id;
    const auto response = respond(request, garden.board, {});
    REQUIRE(response.follow);
    const auto newest = garden.board.events().newest();
    CHECK(response.follow->position == newest);
    CHECK(response.body.text().starts_with("retry: 2000\nid: run-" + std::to_string(newest) + "\nevent: gap\ndata: {"));
    CHECK(std::ranges::count(response.body.text(), '\n') == 5);
  }
}

TEST_CASE("the page asks nothing of anybody else") {
  for (const auto& file : http::page_files()) {
    CAPTURE(file.name);
    CHECK_FALSE(file.content.empty());
    CHECK(file.content.find("https://") == file.content.npos);
    // A namespace is a name and is never asked for: that of SVG stands once in each drawing and where drawings are
    // made.
    const auto draws = file.name.ends_with(".svg") || file.name == "dom.js";
    const auto without_namespace = draws ? 1U : 0U;
    std::size_t addresses = 0;
    for (auto place = file.content.find("http://"); place != file.content.npos;
         place = file.content.find("http://", place + 1))
      ++addresses;
    CHECK(addresses == without_namespace);
  }
}

TEST_CASE("the page's scripts never parse markup, and its markup holds no script or style of its own") {
  for (const auto& file : http::page_files()) {
    CAPTURE(file.name);
    for (const auto* word : {"innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval(", "DOMParser",
                             "createContextualFragment", "setHTML", " style=", " onclick=", "<style", "javascript:"}) {
      CAPTURE(word);
      CHECK(file.content.find(word) == file.content.npos);
    }
  }
}

TEST_CASE("everything the page's files load is among them") {
  Garden garden;
  int loaded = 0;
  for (const auto& file : http::page_files())
    for (const auto* before : {"\"/page/", "from \"./"}) {
      for (auto place = file.content.find(before); place != file.content.npos;
           place = file.content.find(before, place + 1)) {
        const auto start = place + std::string_view(before).size();
        const auto name = std::string(file.content.substr(start, file.content.find('"', start) - start));
        CAPTURE(file.name, name);
        CHECK(garden.ask("/page/" + name).status == 200);
        ++loaded;
      }
    }
  CHECK(loaded >= 8);
}
