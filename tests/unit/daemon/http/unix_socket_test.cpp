#include "daemon/http/unix_socket.h"

#include <sys/stat.h>

#include <fstream>

#include "daemon/json/forms.h"
#include "peer.h"
#include "queues.h"
#include "temporary_folder.h"

using namespace frisket;
using namespace frisket::testing;
using boost::asio::local::stream_protocol;

namespace {

http::Options at_path(const std::filesystem::path& path) {
  http::Options options;
  options.unix_socket = path;
  return options;
}

Reply ask_at(ServedGarden& garden, const std::filesystem::path& path, const std::string& request) {
  PeerOf<stream_protocol> peer(garden.io);
  peer.connect(stream_protocol::endpoint(path.string()));
  peer.read();
  peer.send(request);
  std::optional<Reply> reply;
  REQUIRE(garden.until([&] { return (reply = peer.take_reply()).has_value() || peer.closed; }));
  REQUIRE(reply);
  peer.hang_up();
  garden.clock.settle();
  return *reply;
}

}  // namespace

TEST_CASE("the UNIX socket serves the same, whatever the Host field says") {
  TemporaryFolder folder;
  const auto path = folder.path() / "frisket.sock";
  ServedGarden garden(at_path(path));
  CHECK(ask_at(garden, path, get("/v1/fleet")).body == garden.board.fleet(garden.clock.wall_now()).text());
  CHECK(ask_at(garden, path, "GET /v1/fleet HTTP/1.1\r\nHost: printers.example.org\r\n\r\n").status == 200);
  CHECK(garden.ask(get("/v1/fleet")).status == 200);
}

TEST_CASE("who prints what is told over the UNIX socket, and not over TCP") {
  TemporaryFolder folder;
  const auto path = folder.path() / "frisket.sock";
  ServedGarden garden(at_path(path));
  auto said = idle_queue();
  said.jobs = {job(11)};
  garden.board.publish_queue(queue("herbarium", said), kEight);
  const auto name_in = [](const Reply& reply) { return json::Json::parse(reply.body).at("items").at(0).at("name"); };
  CHECK(name_in(ask_at(garden, path, get("/v1/queues/herbarium/jobs"))) == "Payslip of 11");
  CHECK(name_in(garden.ask(get("/v1/queues/herbarium/jobs"))).is_null());
}

TEST_CASE("only the owner and the group may connect, and stopping removes the socket") {
  TemporaryFolder folder;
  const auto path = folder.path() / "frisket.sock";
  {
    ServedGarden garden(at_path(path));
    struct stat status {};
    REQUIRE(::stat(path.c_str(), &status) == 0);
    CHECK((status.st_mode & 0777U) == 0660U);
  }
  CHECK_FALSE(std::filesystem::exists(path));
}

TEST_CASE("the socket of a daemon that is gone is taken over") {
  TemporaryFolder folder;
  const auto path = folder.path() / "frisket.sock";
  {
    boost::asio::io_context io;
    stream_protocol::acceptor gone(io, stream_protocol::endpoint(path.string()));
  }
  REQUIRE(std::filesystem::exists(path));
  ServedGarden garden(at_path(path));
  CHECK(ask_at(garden, path, get("/v1/health")).status == 200);
}

TEST_CASE("the socket of a daemon that runs is left alone") {
  TemporaryFolder folder;
  const auto path = folder.path() / "frisket.sock";
  ServedGarden garden(at_path(path));
  const auto second = http::listen_at(path, garden.io.get_executor());
  REQUIRE_FALSE(second);
  CHECK(second.error().text() == "opening the UNIX socket of " + path.string() + ": another daemon answers there");
  CHECK(ask_at(garden, path, get("/v1/health")).status == 200);
}

TEST_CASE("what is no socket is never removed") {
  TemporaryFolder folder;
  const auto path = folder.write("frisket.sock", "precious");
  boost::asio::io_context io;
  CHECK_FALSE(http::listen_at(path, io.get_executor()));
  CHECK(folder.read("frisket.sock") == "precious");
}

TEST_CASE("a path that is too long, or whose folder is missing, is an error in words") {
  TemporaryFolder folder;
  boost::asio::io_context io;
  const auto long_path = folder.path() / std::string(120, 'x');
  const auto too_long = http::listen_at(long_path, io.get_executor());
  REQUIRE_FALSE(too_long);
  CHECK(too_long.error().kind == model::Error::Kind::invalid);
  const auto missing = http::listen_at(folder.path() / "none" / "frisket.sock", io.get_executor());
  REQUIRE_FALSE(missing);
  CHECK(missing.error().what == "No such file or directory");
}
