#include "probes/snmp/admission.h"

#include <boost/asio/ip/address.hpp>
#include <catch2/catch.hpp>
#include <string>

namespace frisket::snmp {
namespace {

// Waiters are told apart by the place of a letter in this.
std::string names = "abcdefghijklmnopqrstuvwxyz";

struct Queue {
  Admission admission;
  Admission::Limits limits{4, 2};

  void wait(char name, std::uint64_t subnet) { admission.wait(&names[static_cast<std::size_t>(name - 'a')], subnet); }
  bool give_up(char name, std::uint64_t subnet) {
    return admission.give_up(&names[static_cast<std::size_t>(name - 'a')], subnet);
  }
  std::string admitted() {
    std::string all;
    while (auto* who = static_cast<char*>(admission.admit(limits))) all += *who;
    return all;
  }
};

std::uint64_t subnet(const char* address) { return subnet_of({boost::asio::ip::make_address(address), 161}); }

}  // namespace

TEST_CASE("subnets take turns, and each has only so many outstanding") {
  Queue queue;
  for (const char name : std::string("abcd")) queue.wait(name, 1);
  for (const char name : std::string("xyz")) queue.wait(name, 2);
  CHECK(queue.admitted() == "axby");  // two of each, and four in all
  queue.admission.leave(1);
  CHECK(queue.admitted() == "c");
  queue.admission.leave(2);
  queue.admission.leave(2);
  CHECK(queue.admitted() == "z");
  queue.admission.leave(1);
  queue.admission.leave(1);
  CHECK(queue.admitted() == "d");
}

TEST_CASE("a subnet whose devices do not answer holds up only itself") {
  Queue queue;
  queue.limits = {100, 2};
  for (const char name : std::string("abcdef")) queue.wait(name, 1);
  CHECK(queue.admitted() == "ab");
  for (const char name : std::string("uvwxyz")) {
    queue.wait(name, 2);
    CHECK(queue.admitted() == std::string(1, name));
    queue.admission.leave(2);
  }
}

TEST_CASE("who gives up is passed over, and nothing is left behind") {
  Queue queue;
  for (const char name : std::string("abc")) queue.wait(name, 1);
  CHECK(queue.give_up('a', 1));
  CHECK_FALSE(queue.give_up('a', 1));
  CHECK(queue.admitted() == "bc");
  queue.wait('d', 1);
  CHECK(queue.give_up('d', 1));
  queue.admission.leave(1);
  queue.admission.leave(1);
  CHECK(queue.admitted().empty());
  CHECK(queue.admission.outstanding() == 0);
  queue.wait('e', 1);
  CHECK(queue.admission.take_any() != nullptr);
  CHECK(queue.admission.take_any() == nullptr);
}

TEST_CASE("a subnet is an IPv4 /24 or an IPv6 /64") {
  CHECK(subnet("192.0.2.1") == subnet("192.0.2.254"));
  CHECK(subnet("192.0.2.1") != subnet("192.0.3.1"));
  CHECK(subnet("2001:db8::1") == subnet("2001:db8::ffff:1"));
  CHECK(subnet("2001:db8::1") != subnet("2001:db8:0:1::1"));
}

}  // namespace frisket::snmp
