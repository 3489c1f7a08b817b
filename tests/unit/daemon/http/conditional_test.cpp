// Conditional requests (RFC 9110 sections 8.8.3, 13.1.2 and 15.4.5) and the selection of fields.
#include <catch2/catch.hpp>

#include "daemon/http/entity_tags.h"
#include "daemon/http/page_files.h"
#include "daemon/http/routes.h"
#include "daemon/http/selection.h"
#include "daemon/http/token_text.h"
#include "daemon/json/forms.h"
#include "fixtures.h"
#include "queues.h"

using namespace frisket;
using namespace frisket::testing;
using namespace std::chrono_literals;
using http::Response;
using incidents::DeviceState;
using json::Json;
using model::Severity;

namespace {

struct Garden {
  http::FleetBoard board{"run", {}};

  Garden() {
    board.configure(two_sites());
    publish(70, kEight);
    board.publish_transition(raised(incident("i1", Severity::critical)));
  }

  // The herbarium's copier with so much toner.
  void publish(std::int32_t toner_left, model::WallTime at) {
    board.publish_device("herbarium-copier", answered(DeviceState::ready, {toner(1, toner_left)}, at), at);
  }

  Response ask(std::string target, std::vector<std::string> if_none_match = {}, std::string method = "GET") {
    http::Request request;
    request.method = std::move(method);
    request.target = std::move(target);
    request.host = "localhost";
    request.if_none_match = std::move(if_none_match);
    request.now = kEight;
    return respond(request, board, {});
  }

  std::string tag_of(const std::string& target) {
    const auto response = ask(target);
    REQUIRE(response.status == 200);
    REQUIRE(response.field("ETag"));
    return std::string(*response.field("ETag"));
  }

  // Whether somebody who has the answer of that tag is told that it still holds.
  bool holds(const std::string& target, const std::string& tag) { return ask(target, {tag}).status == 304; }
};

const char* const kTagged[] = {"/",
                               "/page/page.js",
                               "/v1/fleet",
                               "/v1/devices",
                               "/v1/devices/herbarium-copier",
                               "/v1/devices?site=glasshouse",
                               "/v1/supplies",
                               "/v1/incidents",
                               "/v1/incidents/i1"};

}  // namespace

TEST_CASE("whoever has the answer already gets 304 without a body, and the tag again") {
  Garden garden;
  for (const auto* target : kTagged) {
    CAPTURE(target);
    const auto tag = garden.tag_of(target);
    for (const auto* method : {"GET", "HEAD"}) {
      const auto response = garden.ask(target, {tag}, method);
      CHECK(response.status == 304);
      CHECK(response.body.text().empty());
      CHECK(response.field("ETag") == tag);
      CHECK(response.field("Cache-Control") == "private, no-cache");
      CHECK_FALSE(response.field("Content-Type"));
    }
    CHECK(garden.ask(target, {"\"another\""}).status == 200);
  }
}

TEST_CASE("a file of the page, and the interface's document, has the tag of its own content") {
  const auto hex_of = [](std::string_view content) {
    std::string hex;
    for (const auto octet : http::hash_of(content)) {
      hex += "0123456789abcdef"[octet >> 4U];
      hex += "0123456789abcdef"[octet & 15U];
    }
    return hex;
  };
  Garden garden;
  CHECK(http::page_files().size() > 20);
  for (const auto& file : http::page_files()) {
    CAPTURE(file.name);
    CHECK(garden.tag_of("/page/" + std::string(file.name)) == '"' + hex_of(file.content).substr(0, 24) + '"');
  }
  const auto& document = http::openapi_files().front();
  CHECK(garden.tag_of("/v1/openapi.json") == '"' + hex_of(document.content).substr(0, 24) + '"');
}

TEST_CASE("a tag holds while nothing but the time of the last reading changes, and no longer") {
  Garden garden;
  for (const auto* target : {"/v1/devices", "/v1/devices/herbarium-copier", "/v1/supplies"}) {
    CAPTURE(target);
    garden.publish(70, kEight);
    const auto tag = garden.tag_of(target);
    garden.publish(70, kEight + 30s);
    CHECK(garden.holds(target, tag));
    garden.publish(69, kEight + 60s);
    CHECK_FALSE(garden.holds(target, tag));
    garden.publish(70, kEight + 90s);
    CHECK_FALSE(garden.holds(target, tag));  // as it was, but somebody may have seen it otherwise in between
  }
}

TEST_CASE("a change of one device leaves the answers without it as they are") {
  Garden garden;
  const auto other = garden.tag_of("/v1/devices/library-laser");
  const auto elsewhere = garden.tag_of("/v1/devices?site=alpine-house");
  const auto here = garden.tag_of("/v1/devices?site=glasshouse");
  garden.publish(12, kEight + 30s);
  CHECK(garden.holds("/v1/devices/library-laser", other));
  CHECK(garden.holds("/v1/devices?site=alpine-house", elsewhere));
  CHECK_FALSE(garden.holds("/v1/devices?site=glasshouse", here));
}

TEST_CASE("a list's tag tells of what came and of what went") {
  Garden garden;
  const auto incidents = garden.tag_of("/v1/incidents?state=raised");
  garden.board.publish_transition(raised(incident("i2", Severity::warning)));
  CHECK_FALSE(garden.holds("/v1/incidents?state=raised", incidents));
  const auto two = garden.tag_of("/v1/incidents?state=raised");
  garden.board.publish_transition(cleared(incident("i2", Severity::warning)));
  CHECK_FALSE(garden.holds("/v1/incidents?state=raised", two));

  const auto devices = garden.tag_of("/v1/devices");
  const auto part = garden.tag_of("/v1/devices?limit=2");
  auto config = two_sites();
  config.devices.pop_back();
  garden.board.configure(config);
  CHECK_FALSE(garden.holds("/v1/devices", devices));
  CHECK_FALSE(garden.holds("/v1/devices?limit=2", part));  // the same two, but nothing follows them now
}

TEST_CASE("a device that was taken out and put back has another tag than before") {
  Garden garden;
  const auto before = garden.tag_of("/v1/devices/library-laser");
  auto without = two_sites();
  without.devices.erase(without.devices.begin() + 1);
  garden.board.configure(without);
  garden.board.configure(two_sites());
  CHECK_FALSE(garden.holds("/v1/devices/library-laser", before));
}

TEST_CASE("the fleet's tag holds until a count or the load changes, whatever the time") {
  Garden garden;
  const auto tag = garden.tag_of("/v1/fleet");
  http::Request later;
  later.target = "/v1/fleet";
  later.if_none_match = {tag};
  later.now = kEight + 9s;
  CHECK(respond(later, garden.board, {}).status == 304);
  garden.board.publish_transition(raised(incident("i2", Severity::warning)));
  CHECK(respond(later, garden.board, {}).status == 200);
}

TEST_CASE("a queue's tag is its own") {
  Garden garden;
  incidents::QueueStatus status;
  status.name = "herbarium";
  garden.board.publish_queue(status, kEight);
  for (const auto* target : {"/v1/queues", "/v1/queues/herbarium"}) {
    CAPTURE(target);
    const auto tag = garden.tag_of(target);
    CHECK(garden.holds(target, tag));
    status.site = status.site == "glasshouse" ? "alpine-house" : "glasshouse";
    garden.board.publish_queue(status, kEight);
    CHECK_FALSE(garden.holds(target, tag));
  }
}

TEST_CASE("what moves with every look, and what may be personal, has no tag and is not to be stored") {
  Garden garden;
  incidents::QueueStatus status;
  status.name = "herbarium";
  garden.board.publish_queue(status, kEight);
  for (const auto* target : {"/v1/health", "/v1/events", "/v1/queues/herbarium/jobs", "/v1/nothing"}) {
    CAPTURE(target);
    const auto response = garden.ask(target, {"*"});
    CHECK(response.status != 304);
    CHECK_FALSE(response.field("ETag"));
    CHECK(response.field("Cache-Control") == "no-store");
  }
}

TEST_CASE("If-None-Match is read as RFC 9110 has it") {
  struct Row {
    std::vector<std::string> fields;
    bool named;
  };
  const Row rows[] = {
      {{}, false},
      {{"*"}, true},
      {{" * "}, true},
      {{"\"a\""}, true},
      {{"W/\"a\""}, true},  // compared weakly
      {{"\"b\", \"a\""}, true},
      {{"\"b\",,\t\"a\" ,"}, true},
      {{"\"b\"", "\"a\""}, true},   // two fields are one list
      {{"\"b,\\\", \"a\""}, true},  // a backslash is an octet of the tag like any other
      {{"\"b\""}, false},
      {{"\"A\""}, false},
      {{"a"}, false},
      {{"w/\"a\""}, false},
      {{"\"a"}, false},
      {{"\"*\""}, false},
      {{""}, false},
  };
  for (const auto& row : rows) {
    CAPTURE(row.fields);
    CHECK(http::names_tag(row.fields, "\"a\"") == row.named);
    CHECK(http::names_tag(row.fields, "W/\"a\"") == row.named);
  }
}

TEST_CASE("a condition spares nobody an error") {
  Garden garden;
  CHECK(garden.ask("/v1/devices?x=1", {"*"}).status == 400);
  CHECK(garden.ask("/v1/devices/nobody", {"*"}).status == 404);
  CHECK(garden.ask("/v1/devices", {"*"}, "POST").status == 405);
}

TEST_CASE("every list gives the fields that are asked for, in its own order") {
  Garden garden;
  CHECK(garden.ask("/v1/devices?fields=state,name&limit=1").body.text() ==
        R"({"items":[{"name":"herbarium-copier","state":"ready"}],"next":"herbarium-copier"})");
  CHECK(garden.ask("/v1/incidents?fields=id,severity,changes&limit=1").body.text() ==
        R"({"items":[{"id":"i1","severity":"critical","changes":[]}],"next":null})");
  CHECK(garden.ask("/v1/supplies?fields=percent,device").body.text() ==
        R"({"items":[{"device":"herbarium-copier","percent":70.0}],"next":null})");
  CHECK(garden.ask("/v1/devices/library-laser?fields=device_id").body.text() == R"({"device_id":null})");
  CHECK(garden.ask("/v1/incidents/i1?fields=subunit").body.text() == R"({"subunit":null})");
}

TEST_CASE("asking for every field gives the whole, and each by itself its value") {
  Garden garden;
  for (const std::string target : {"/v1/devices/herbarium-copier", "/v1/incidents/i1"}) {
    const auto whole = Json::parse(garden.ask(target).body.text());
    std::string all;
    for (const auto& [name, value] : whole.items()) {
      CAPTURE(target, name);
      all.append(all.empty() ? "" : ",").append(name);
      CHECK(Json::parse(garden.ask(target + "?fields=" + name).body.text()) == Json{{name, value}});
    }
    CHECK(Json::parse(garden.ask(target + "?fields=" + all).body.text()) == whole);
  }
}

TEST_CASE("a field that there is not is refused, and so is none") {
  Garden garden;
  for (const auto* list : {"/v1/devices", "/v1/supplies", "/v1/incidents", "/v1/queues"}) {
    CAPTURE(list);
    CHECK(garden.ask(std::string(list) + "?fields=colour").status == 400);
    CHECK(garden.ask(std::string(list) + "?fields=").status == 400);
    CHECK(garden.ask(std::string(list) + "?fields=name&fields=state").status == 400);
  }
  const auto detail = Json::parse(garden.ask("/v1/supplies?fields=colour").body.text()).at("detail");
  CHECK(detail ==
        "parameter fields is 'colour'; allowed: device, site, location, index, type, class, colorant, description, "
        "part, percent, low, level, days_left, remaining, capacity, unit");
}

TEST_CASE("a text that looks like JSON stays inside of its value") {
  const Json object = {
      {"a", "\"},{\"b\":1,\\"}, {"b", {{"c", "]}"}, {"a", 1}}}, {"d", {1, "[", {{"e", "\\\""}}}}, {"e", 5}};
  const auto text = json::text_of(object);
  for (const auto& [name, value] : object.items()) {
    std::string some;
    http::append_selected(some, text, http::members_of(text), {name});
    CHECK(Json::parse(some) == Json{{name, value}});
  }
  std::string none;
  http::append_selected(none, text, http::members_of(text), {"c"});
  CHECK(none == "{}");
}
