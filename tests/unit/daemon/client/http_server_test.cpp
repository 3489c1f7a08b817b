#include "daemon/client/http_server.h"

#include <sys/eventfd.h>

#include "canned_daemon.h"
#include "fixture.h"
#include "temporary_folder.h"

namespace frisket::client {
namespace {

std::string http(const std::string& status, const std::string& type, const std::string& body) {
  return "HTTP/1.1 " + status + "\r\nContent-Type: " + type + "\r\nContent-Length: " + std::to_string(body.size()) +
         "\r\nConnection: close\r\n\r\n" + body;
}

HttpServer server_at(const CannedDaemon& daemon, HttpServer::Bounds bounds = {}) {
  return HttpServer({address_from(daemon.url()).value()}, -1, {}, bounds);
}

model::Error::Kind failure_kind(const model::Result<Answer>& answer) {
  REQUIRE_FALSE(answer);
  return answer.error().kind;
}

}  // namespace

TEST_CASE("an answer comes back with its status, type and body, whatever the status is") {
  CannedDaemon daemon({http("200 OK", "application/json", "{\"a\":1}"),
                       http("403 Forbidden", "application/problem+json", "{}"),
                       "HTTP/1.1 302 Found\r\nLocation: /elsewhere\r\nContent-Length: 0\r\nConnection: close\r\n\r\n"});
  HttpServer server = server_at(daemon);
  const auto good = server.get("/v1/devices?site=a%20b");
  REQUIRE(good);
  CHECK(good->status == 200);
  CHECK(good->content_type == "application/json");
  CHECK(good->body == "{\"a\":1}");
  CHECK(server.get("/v1/devices")->status == 403);
  CHECK(server.get("/v1/../v1/devices/..")->status == 302);  // and is not followed
  REQUIRE(daemon.requests.size() == 3);
  CHECK(daemon.requests[0].starts_with("GET /v1/devices?site=a%20b HTTP/1.1\r\n"));
  CHECK(daemon.requests[2].starts_with("GET /v1/../v1/devices/.. HTTP/1.1\r\n"));
}

TEST_CASE("what is posted arrives as JSON, and the answer comes back whatever its status is") {
  CannedDaemon daemon(
      {http("200 OK", "application/json", "{}"), http("409 Conflict", "application/problem+json", "{}")});
  HttpServer server = server_at(daemon);
  CHECK(server.post("/v1/incidents/17/ack", R"({"by":"robin"})")->status == 200);
  CHECK(server.post("/v1/incidents/17/ack", "{}")->status == 409);
  REQUIRE(daemon.requests.size() == 2);
  CHECK(daemon.requests[0].starts_with("POST /v1/incidents/17/ack HTTP/1.1\r\n"));
  CHECK(daemon.requests[0].find("\r\nContent-Type: application/json\r\n") != std::string::npos);
  CHECK(daemon.requests[0].ends_with("\r\n\r\n{\"by\":\"robin\"}"));
  CHECK(daemon.requests[0].find("Expect") == std::string::npos);
}

TEST_CASE("a token is shown with every request, and nothing of the kind without one") {
  CannedDaemon daemon({http("200 OK", "application/json", "{}"), http("200 OK", "application/json", "{}"),
                       http("200 OK", "text/event-stream", ""), http("200 OK", "application/json", "{}")});
  HttpServer server({address_from(daemon.url()).value()}, -1, "desk-token");
  CHECK(server.get("/v1/fleet"));
  CHECK(server.post("/v1/incidents/17/ack", "{}"));
  CHECK(server.follow("/v1/events", "", [](std::string_view) { return true; }));
  HttpServer silent = server_at(daemon);
  CHECK(silent.get("/v1/fleet"));
  REQUIRE(daemon.requests.size() == 4);
  for (std::size_t i = 0; i < 3; ++i)
    CHECK(daemon.requests[i].find("\r\nAuthorization: Bearer desk-token\r\n") != std::string::npos);
  CHECK(daemon.requests[3].find("Authorization") == std::string::npos);
}

TEST_CASE("a UNIX socket is asked under the name localhost") {
  const TemporaryFolder folder;
  const std::string path = (folder.path() / "frisket.sock").string();
  CannedDaemon daemon(path, {http("200 OK", "application/json", "{}")});
  HttpServer server({address_from("unix:" + path).value()}, -1);
  CHECK(server.get("/v1/fleet")->status == 200);
  CHECK(daemon.requests.at(0).find("Host: localhost\r\n") != std::string::npos);
}

TEST_CASE("where the socket is not there the next address is asked, and then kept") {
  const TemporaryFolder folder;
  CannedDaemon daemon({http("200 OK", "application/json", "{}"), http("200 OK", "application/json", "{}")});
  const std::string missing = "unix:" + (folder.path() / "none.sock").string();
  HttpServer server({address_from(missing).value(), address_from(daemon.url()).value()}, -1);
  CHECK(server.get("/v1/fleet"));
  CHECK(server.name() == daemon.url());
  CHECK(server.get("/v1/fleet"));
}

TEST_CASE("where nobody listens the sentence names every address that was tried") {
  const TemporaryFolder folder;
  const std::string path = (folder.path() / "none.sock").string();
  HttpServer server({address_from("unix:" + path).value(), address_from("http://127.0.0.1:1").value()}, -1);
  const auto answer = server.get("/v1/fleet");
  CHECK(failure_kind(answer) == model::Error::Kind::silent);
  CHECK(answer.error().text() == "asking unix:" + path +
                                     ": cannot connect: No such file or directory; asking http://127.0.0.1:1: "
                                     "cannot connect: Connection refused");
}

TEST_CASE("what is not HTTP, cut off or too long is an error, and nothing crashes") {
  struct Row {
    std::string octets;
    model::Error::Kind kind;
  };
  const std::string whole = http("200 OK", "application/json", "{\"items\":[]}");
  const std::vector<Row> rows = {
      {"SSH-2.0-OpenSSH_9.2\r\n", model::Error::Kind::nonsense},
      {std::string("\0\xff\x80garbage\r\n\r\n", 13), model::Error::Kind::nonsense},
      {whole.substr(0, whole.size() - 3), model::Error::Kind::silent},
      {"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n", model::Error::Kind::silent},
      {http("200 OK", "application/json", std::string(5000, ' ')), model::Error::Kind::nonsense},
      {"HTTP/1.1 200 OK\r\nX: " + std::string(400'000, 'x') + "\r\n\r\n", model::Error::Kind::nonsense},
  };
  for (const Row& row : rows) {
    CannedDaemon daemon({row.octets});
    HttpServer server = server_at(daemon, {.body = 4096});
    const auto answer = server.get("/v1/fleet");
    INFO(row.octets.substr(0, 60));
    REQUIRE_FALSE(answer);
    CHECK(exit_status_of(answer.error()) == ExitStatus::unreachable);
  }
}

TEST_CASE("every beginning of an answer is an error and not half an answer") {
  const std::string whole = http("200 OK", "application/json", "{}");
  for (std::size_t length = 1; length < whole.size(); ++length) {
    CannedDaemon daemon({whole.substr(0, length)});
    HttpServer server = server_at(daemon);
    const auto answer = server.get("/v1/fleet");
    INFO(length);
    CHECK((!answer || parse_json(answer->body).has_value() == false));
  }
}

TEST_CASE("a daemon that accepts and says nothing is given up after the time allowed") {
  CannedDaemon daemon({"", ""});
  HttpServer server = server_at(daemon, {.whole_ms = 50, .quiet_ms = 50});
  CHECK(failure_kind(server.get("/v1/fleet")) == model::Error::Kind::silent);
  const auto stream = server.follow("/v1/events", "", [](std::string_view) { return true; });
  CHECK(failure_kind(stream) == model::Error::Kind::silent);
}

TEST_CASE("an event stream is handed over piece by piece, with the id to resume after") {
  const std::string events = "id: 1\ndata: a\n\n";
  CannedDaemon daemon({"HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\nConnection: close\r\n\r\n" + events,
                       http("503 Service Unavailable", "application/problem+json", "{\"title\":\"busy\"}")});
  HttpServer server = server_at(daemon);
  std::string taken;
  const auto take = [&](std::string_view piece) {
    taken += piece;
    return true;
  };
  const auto answer = server.follow("/v1/events", "r-7", take);
  REQUIRE(answer);
  CHECK(answer->status == 200);
  CHECK(answer->body.empty());
  CHECK(taken == events);
  const auto busy = server.follow("/v1/events", "", take);
  REQUIRE(busy);
  CHECK(busy->status == 503);
  CHECK(busy->body == "{\"title\":\"busy\"}");
  CHECK(taken == events);
  CHECK(daemon.requests.at(0).find("Last-Event-ID: r-7\r\n") != std::string::npos);
  CHECK(daemon.requests.at(1).find("Last-Event-ID") == std::string::npos);
}

TEST_CASE("a wish to stop ends a stream that says nothing") {
  CannedDaemon daemon({""});
  const int stop = ::eventfd(1, EFD_CLOEXEC);
  HttpServer server({address_from(daemon.url()).value()}, stop);
  CHECK(server.follow("/v1/events", "", [](std::string_view) { return true; }));
  ::close(stop);
}

}  // namespace frisket::client
