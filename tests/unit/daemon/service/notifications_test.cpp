#include "daemon/service/notifications.h"

#include <spdlog/spdlog.h>

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/udp.hpp>
#include <catch2/catch.hpp>
#include <chrono>
#include <functional>
#include <string>
#include <vector>

#include "simulated_clock.h"

namespace asio = boost::asio;
using asio::ip::udp;
using namespace std::chrono_literals;
using frisket::service::Notifications;

namespace {

// coldStart as an SNMPv2-Trap-PDU, community "public" (RFC 3416 section 4.2.6, RFC 3418).
const std::string kColdStart(
    "\x30\x40\x02\x01\x01\x04\x06public\xa7\x33\x02\x01\x01\x02\x01\x00\x02\x01\x00\x30\x28\x30\x0d\x06\x08\x2b\x06\x01"
    "\x02\x01\x01\x03\x00\x43\x01\x00\x30\x17\x06\x0a\x2b\x06\x01\x06\x03\x01\x01\x04\x01\x00\x06\x09\x2b\x06\x01\x06"
    "\x03\x01\x01\x05\x01",
    66);

// A garden office whose time stands still but for the test; sockets are real.
struct Office {
  Office() {
    spdlog::set_level(spdlog::level::off);
    config.notifications.listen = frisket::config::Listen{"127.0.0.1", 0};
  }
  ~Office() {
    notifications.stop();
    until([&] { return notifications.running() == 0; });
  }

  void add(const std::string& name, const std::string& address, std::uint16_t port = 161) {
    frisket::config::Device device;
    device.name = name;
    device.address = address;
    device.port = port;
    config.devices.push_back(device);
  }

  void configure() {
    notifications.configure(config);
    const auto listening = notifications.state().listening;
    REQUIRE(listening.starts_with("127.0.0.1:"));
    to = {asio::ip::make_address("127.0.0.1"), static_cast<std::uint16_t>(std::stoi(listening.substr(10)))};
  }

  // Returns when the datagram has been dealt with.
  void tell(const char* from, const std::string& octets = kColdStart) {
    const auto before = count("received");
    udp::socket socket(context, udp::endpoint(asio::ip::make_address(from), 0));
    socket.send_to(asio::buffer(octets), to);
    until([&] { return count("received") == before + 1; });
  }

  void until(const std::function<bool()>& so) {
    const auto guard = std::chrono::steady_clock::now() + 60s;
    while (!so()) {
      REQUIRE(std::chrono::steady_clock::now() < guard);
      context.restart();
      context.run_one_for(100ms);
    }
  }

  std::uint64_t count(const char* what) const { return notifications.state().counters.at(what); }

  asio::io_context context;
  frisket::testing::SimulatedClock clock{context};
  frisket::config::Config config;
  std::vector<std::string> polled;
  Notifications notifications{context.get_executor(), clock, [this](const std::string& device) {
                                polled.push_back(device);
                                return true;
                              }};
  udp::endpoint to;
};

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("a trap polls the device at its source address, and no other") {
  Office office;
  office.add("herbarium", "127.0.0.5");
  office.add("palm-house", "127.0.0.6");
  office.configure();
  office.tell("127.0.0.5");
  CHECK(office.polled == Names{"herbarium"});
}

TEST_CASE("all devices behind one address are polled, whatever their ports") {
  Office office;
  office.add("print-server-1", "127.0.0.5", 161);
  office.add("print-server-2", "127.0.0.5", 10161);
  office.configure();
  office.tell("127.0.0.5");
  CHECK(office.polled == Names{"print-server-1", "print-server-2"});
}

TEST_CASE("a device that is configured by host name is known by what the name means") {
  Office office;
  office.add("porter", "localhost");
  office.configure();
  office.until([&] {
    office.tell("127.0.0.1");
    return !office.polled.empty();
  });
  CHECK(office.polled == Names{"porter"});
}

TEST_CASE("two traps in an interval are two polls, the second at its end") {
  Office office;
  office.add("herbarium", "127.0.0.5");
  office.configure();
  office.tell("127.0.0.5");
  office.clock.advance(1s);
  office.tell("127.0.0.5");
  office.tell("127.0.0.5");
  CHECK(office.polled.size() == 1);
  office.clock.advance(3999ms);
  CHECK(office.polled.size() == 1);
  office.clock.advance(1ms);
  CHECK(office.polled.size() == 2);
  office.clock.advance(1h);
  CHECK(office.polled.size() == 2);
  CHECK(office.count("polls") == 2);
  CHECK(office.count("merged") == 1);
}

TEST_CASE("an unknown sender is listed and polls nothing, until it is a device") {
  Office office;
  office.add("herbarium", "127.0.0.5");
  office.configure();
  office.tell("127.0.0.99");
  CHECK(office.polled.empty());
  REQUIRE(office.notifications.state().unknown_senders.size() == 1);
  CHECK(office.notifications.state().unknown_senders[0].address == "127.0.0.99");
  office.add("new", "127.0.0.99");
  office.configure();
  office.tell("127.0.0.99");
  CHECK(office.polled == Names{"new"});
}

TEST_CASE("where credentials are named, the community and the version must be of one of them") {
  Office office;
  office.add("herbarium", "127.0.0.5");
  office.config.credentials.push_back({"clear", frisket::config::SnmpVersion::v2c, "public"});
  office.config.credentials.push_back({"old", frisket::config::SnmpVersion::v1, "garden"});
  office.config.notifications.credentials = {"old"};
  office.configure();
  office.tell("127.0.0.5");
  CHECK(office.polled.empty());
  CHECK(office.count("refused") == 1);
  office.config.notifications.credentials = {"old", "clear"};
  office.configure();
  office.tell("127.0.0.5");
  CHECK(office.polled == Names{"herbarium"});
}

TEST_CASE("a device that is gone from the configuration is not polled by what it sent before") {
  Office office;
  office.add("herbarium", "127.0.0.5");
  office.configure();
  office.tell("127.0.0.5");
  office.tell("127.0.0.5");
  REQUIRE(office.count("waiting") == 1);
  office.config.devices.clear();
  office.configure();
  office.clock.advance(1min);
  CHECK(office.polled.size() == 1);
  CHECK(office.count("waiting") == 0);
}

TEST_CASE("what is not configured to listen does not, and a port that is taken is told of") {
  Office office;
  office.config.notifications.listen.reset();
  office.notifications.configure(office.config);
  CHECK(office.notifications.state().listening.empty());
  CHECK(office.notifications.state().trouble.empty());

  const udp::socket holder(office.context, udp::endpoint(asio::ip::make_address("127.0.0.1"), 0));
  office.config.notifications.listen = frisket::config::Listen{"127.0.0.1", holder.local_endpoint().port()};
  office.notifications.configure(office.config);
  CHECK(office.notifications.state().listening.empty());
  CHECK(office.notifications.state().trouble.find("127.0.0.1:") != std::string::npos);
}
