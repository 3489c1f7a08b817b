#include "probes/snmp/listener.h"

#include <boost/asio/io_context.hpp>
#include <catch2/catch.hpp>
#include <chrono>
#include <functional>
#include <string>
#include <vector>

#include "hex.h"
#include "worked_messages.h"

namespace frisket::snmp {
namespace {

namespace asio = boost::asio;
using asio::ip::udp;
using namespace testing;
using namespace std::chrono_literals;

asio::ip::address address(const char* text) { return asio::ip::make_address(text); }

// A listener on loopback, and what it told.
struct Post final : Listener::Audience {
  bool knows(const asio::ip::address& source) override {
    ++asked;
    return source == known;
  }
  std::span<const config::Credential> users(const asio::ip::address&) override { return credentials; }
  bool take(const Notification& notification, const asio::ip::address& source) override {
    taken.push_back(notification);
    CHECK(source == known);
    return notification.community == "garden";
  }

  explicit Post(const char* where = "127.0.0.1") {
    const auto bound = listener.open({where, 0});
    REQUIRE(bound);
    port = bound->port();
  }

  udp::socket sender(const char* from) {
    udp::socket socket(context, udp::endpoint(address(from), 0));
    socket.non_blocking(true);
    return socket;
  }

  void send(udp::socket& from, const std::string& octets, const char* to = "127.0.0.1") {
    from.send_to(asio::buffer(octets), {address(to), port});
  }

  // Runs until it is so; the guard is for a listener that is broken.
  void until(const std::function<bool()>& so) {
    const auto guard = std::chrono::steady_clock::now() + 60s;
    while (!so()) {
      REQUIRE(std::chrono::steady_clock::now() < guard);
      context.restart();
      context.run_one_for(100ms);
    }
  }

  std::uint64_t count(const char* what) const { return listener.counters().at(what); }

  asio::io_context context;
  asio::ip::address known = address("127.0.0.5");
  std::vector<Notification> taken;
  std::vector<config::Credential> credentials;
  std::size_t asked = 0;
  SystemClock clock;
  Listener listener{context.get_executor(), clock, *this};
  std::uint16_t port = 0;
};

// What has come to a socket, and from where; the answer leaves before the count goes up.
std::string received_by(udp::socket& socket, udp::endpoint& from) {
  std::string octets(65536, '\0');
  boost::system::error_code failed;
  octets.resize(socket.receive_from(asio::buffer(octets), from, 0, failed));
  return failed ? "" : octets;
}

}  // namespace

TEST_CASE("a trap of a known address is taken and not answered") {
  Post post;
  auto printer = post.sender("127.0.0.5");
  post.send(printer, from_hex(kWorkedTrap));
  post.until([&] { return post.count("traps") == 1; });
  REQUIRE(post.taken.size() == 1);
  CHECK(post.taken[0].request_id == 0x12d687);
  udp::endpoint from;
  CHECK(received_by(printer, from).empty());
}

TEST_CASE("an inform is answered from the address that it was sent to, once for each time it comes") {
  Post post("0.0.0.0");
  auto printer = post.sender("127.0.0.5");
  for (const char* to : {"127.0.0.1", "127.0.0.9"}) {
    const auto before = post.count("informs");
    post.send(printer, from_hex(kWorkedInform), to);
    post.until([&] { return post.count("informs") == before + 1; });
    udp::endpoint from;
    CHECK(to_hex(received_by(printer, from)) == kWorkedInformAnswer);
    CHECK(from == udp::endpoint(address(to), post.port));
    CHECK(received_by(printer, from).empty());
  }
  CHECK(post.count("not_answered") == 0);
}

TEST_CASE("what comes from an address that nobody knows is counted, not decoded and not answered") {
  Post post;
  auto stranger = post.sender("127.0.0.99");
  post.send(stranger, from_hex(kWorkedInform));
  post.send(stranger, "garbage");
  post.until([&] { return post.count("unknown_sender") == 2; });
  CHECK(post.taken.empty());
  CHECK(post.count("malformed") == 0);
  udp::endpoint from;
  CHECK(received_by(stranger, from).empty());
}

TEST_CASE("an inform that the audience refuses stays unanswered") {
  Post post;
  auto printer = post.sender("127.0.0.5");
  auto other = from_hex(kWorkedInform);
  other.replace(other.find("garden"), 6, "meadow");
  post.send(printer, other);
  post.until([&] { return post.count("refused") == 1; });
  udp::endpoint from;
  CHECK(received_by(printer, from).empty());
  CHECK(post.count("informs") == 0);
}

TEST_CASE("garbage from a known address is counted, also when it is empty or as large as can be") {
  Post post;
  auto printer = post.sender("127.0.0.5");
  post.send(printer, "");
  post.send(printer, std::string(65507, '\xa7'));
  post.send(printer, from_hex(kWorkedResponse));
  post.until([&] { return post.count("received") == 3; });
  CHECK(post.count("malformed") == 3);
  CHECK(post.taken.empty());
}

TEST_CASE("a flood does not keep another task from its turn") {
  Post post;
  auto printer = post.sender("127.0.0.5");
  // More than the bound of one turn, all there before the listener looks.
  for (int i = 0; i < 200; ++i) post.send(printer, from_hex(kWorkedTrap));
  std::size_t taken_before_turn = 0;
  asio::post(post.context, [&] { asio::post(post.context, [&] { taken_before_turn = post.taken.size(); }); });
  post.until([&] { return post.count("traps") == 200; });
  CHECK(taken_before_turn <= 128);
}

TEST_CASE("a socket for both families knows an IPv4 sender by its IPv4 address") {
  Post post("::");
  auto printer = post.sender("127.0.0.5");
  post.send(printer, from_hex(kWorkedInform));
  post.until([&] { return post.count("informs") == 1; });
  udp::endpoint from;
  CHECK(to_hex(received_by(printer, from)) == kWorkedInformAnswer);
}

TEST_CASE("a port that is taken is an error that names it, and another can be opened afterwards") {
  Post post;
  struct Deaf final : Listener::Audience {
    bool knows(const asio::ip::address&) override { return false; }
    std::span<const config::Credential> users(const asio::ip::address&) override { return {}; }
    bool take(const Notification&, const asio::ip::address&) override { return false; }
  } deaf;
  Listener second(post.context.get_executor(), post.clock, deaf);
  const auto failed = second.open({"127.0.0.1", post.port});
  REQUIRE_FALSE(failed);
  CHECK(failed.error().kind == model::Error::Kind::local);
  CHECK(failed.error().text().find("127.0.0.1:" + std::to_string(post.port)) != std::string::npos);
  CHECK(second.open({"127.0.0.1", 0}));
}

TEST_CASE("a listener that is closed, or opened elsewhere, takes nothing where it was") {
  Post post;
  auto printer = post.sender("127.0.0.5");
  const auto old_port = post.port;
  const auto again = post.listener.open({"127.0.0.1", 0});
  REQUIRE(again);
  post.port = again->port();
  REQUIRE(post.port != old_port);
  boost::system::error_code ignored;
  printer.send_to(asio::buffer(from_hex(kWorkedTrap)), {address("127.0.0.1"), old_port}, 0, ignored);
  post.send(printer, from_hex(kWorkedTrap));
  post.until([&] { return post.count("traps") == 1; });
  post.listener.close();
  printer.send_to(asio::buffer(from_hex(kWorkedTrap)), {address("127.0.0.1"), post.port}, 0, ignored);
  post.context.restart();
  post.context.poll();
  CHECK(post.taken.size() == 1);
}

}  // namespace frisket::snmp
