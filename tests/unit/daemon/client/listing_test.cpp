#include "daemon/client/listing.h"

#include "fixture.h"

namespace frisket::client {
namespace {

model::Error::Kind failure_of(FakeServer& server) {
  const auto list = get_list(server, "/v1/devices", {});
  REQUIRE_FALSE(list);
  return list.error().kind;
}

}  // namespace

TEST_CASE("a list in parts is put together in the object of the first") {
  FakeServer server;
  server.serve("/v1/devices?site=seed%20bank", R"({"items":[1,2],"next":"b&1","at":"now"})");
  server.serve("/v1/devices?site=seed%20bank&after=b%261", R"({"items":[3],"next":"c"})");
  server.serve("/v1/devices?site=seed%20bank&after=c", R"({"items":[],"next":null})");
  const auto list = get_list(server, "/v1/devices", {{"site", "seed bank"}, {"state", ""}});
  REQUIRE(list);
  CHECK(list->dump() == R"({"items":[1,2,3],"next":null,"at":"now"})");
  CHECK(server.asked.size() == 3);
}

TEST_CASE("a next that leads nowhere ends in an error and not in a loop") {
  FakeServer server;
  server.serve("/v1/devices", R"({"items":[],"next":"a"})");
  server.serve("/v1/devices?after=a", R"({"items":[],"next":"a"})");
  CHECK(failure_of(server) == model::Error::Kind::nonsense);
  server.serve("/v1/devices?after=a", R"({"items":[],"next":"b"})");
  server.serve("/v1/devices?after=b", R"({"items":[],"next":"a"})");
  CHECK(failure_of(server) == model::Error::Kind::nonsense);
  CHECK(server.asked.size() < 1010);
  server.serve("/v1/devices", R"({"items":[],"next":""})");
  CHECK(failure_of(server) == model::Error::Kind::nonsense);
}

TEST_CASE("what is no list is nonsense") {
  FakeServer server;
  for (const char* body : {"[]", "{}", "3", R"({"items":{}})", R"({"items":[],"next":3})", "", "<html>"}) {
    server.serve("/v1/devices", body);
    INFO(body);
    CHECK(failure_of(server) == model::Error::Kind::nonsense);
  }
}

TEST_CASE("a failure in a later part fails the whole: half a list must not look like one") {
  FakeServer server;
  server.serve("/v1/devices", R"({"items":[1],"next":"a"})");
  server.fail("/v1/devices?after=a", model::Error::Kind::silent);
  CHECK(failure_of(server) == model::Error::Kind::silent);
}

// RFC 3986 section 2.3: the unreserved characters.
TEST_CASE("names are percent-encoded as RFC 3986 has it") {
  CHECK(percent_encoded("herbarium-copier_1.a~b") == "herbarium-copier_1.a~b");
  CHECK(percent_encoded("a/b?c=d&e f#%\xC3\xA9") == "a%2Fb%3Fc%3Dd%26e%20f%23%25%C3%A9");
}

}  // namespace frisket::client
