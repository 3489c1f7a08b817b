#include "daemon/service/service_manager.h"

#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <chrono>
#include <cstddef>
#include <string>
#include <vector>

#include "temporary_folder.h"

using namespace std::chrono_literals;
using frisket::service::ServiceManager;

namespace {

// The manager's end, in place of the real one: sd_notify(3) says what it has to understand.
class Listener {
 public:
  explicit Listener(std::string name) {
    if (name.front() == '@') name.front() = '\0';
    sockaddr_un at{};
    at.sun_family = AF_UNIX;
    name.copy(at.sun_path, name.size());
    const auto size = static_cast<socklen_t>(offsetof(sockaddr_un, sun_path) + name.size());
    REQUIRE(::bind(socket_, reinterpret_cast<const sockaddr*>(&at), size) == 0);
  }
  ~Listener() { ::close(socket_); }
  Listener(const Listener&) = delete;
  Listener& operator=(const Listener&) = delete;

  std::vector<std::string> heard() {
    std::vector<std::string> messages;
    std::string buffer(4096, '\0');
    for (;;) {
      const auto got = ::recv(socket_, buffer.data(), buffer.size(), MSG_DONTWAIT);
      if (got < 0) return messages;
      messages.push_back(buffer.substr(0, static_cast<std::size_t>(got)));
    }
  }

 private:
  int socket_ = ::socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC, 0);
};

using Messages = std::vector<std::string>;

std::string abstract_name() { return "@frisket-test-" + std::to_string(::getpid()); }

}  // namespace

TEST_CASE("the service manager is told each state in the words of sd_notify(3), at a path and at an abstract name") {
  const frisket::TemporaryFolder folder;
  const auto name = GENERATE(0, 1) == 0 ? (folder.path() / "notify").string() : abstract_name();
  Listener listener(name);
  ServiceManager manager({name, "", ""});
  manager.ready();
  manager.reloading(frisket::model::SteadyTime{} + 1234567us);
  manager.ready();
  manager.alive();
  manager.stopping();
  CHECK(listener.heard() ==
        Messages{"READY=1", "RELOADING=1\nMONOTONIC_USEC=1234567", "READY=1", "WATCHDOG=1", "STOPPING=1"});
}

TEST_CASE("a status is told when it is another, and is one line whatever is in it") {
  Listener listener(abstract_name());
  ServiceManager manager({abstract_name(), "", ""});
  manager.status("well");
  manager.status("well");
  manager.status("not\nREADY=1 well");
  CHECK(listener.heard() == Messages{"STATUS=well", "STATUS=not READY=1 well"});
  manager.status(std::string(100'000, 'x'));
  const auto heard = listener.heard();
  REQUIRE(heard.size() == 1);
  CHECK(heard[0].size() <= 520);
}

TEST_CASE("a manager that does not read holds up nobody, and hears the last state once it reads") {
  Listener listener(abstract_name());
  ServiceManager manager({abstract_name(), "", ""});
  // More than any queue of datagrams holds (net.unix.max_dgram_qlen).
  for (int i = 0; i < 10'000; ++i) manager.alive();
  manager.reloading(frisket::model::SteadyTime{} + 1us);
  manager.ready();
  for (const auto& message : listener.heard()) REQUIRE(message == "WATCHDOG=1");
  manager.alive();
  CHECK(listener.heard() == Messages{"READY=1", "WATCHDOG=1"});
}

TEST_CASE("signs of life are given at half of what the watchdog allows, if they are asked of this process") {
  const auto beat = [](const char* usec, const std::string& pid) {
    return ServiceManager({"@nobody", usec, pid}).beat();
  };
  CHECK(beat("30000000", "") == 15s);
  CHECK(beat("30000000", std::to_string(::getpid())) == 15s);
  CHECK_FALSE(beat("30000000", "1"));
  CHECK_FALSE(beat("", ""));
  CHECK_FALSE(beat("0", ""));
  CHECK_FALSE(beat("-5", ""));
  CHECK_FALSE(beat("30s", ""));
  CHECK_FALSE(beat("18446744073709551615", ""));
  CHECK_FALSE(ServiceManager({"", "30000000", ""}).beat());
}

TEST_CASE("without a manager, with one that is gone, and with a name that is none, every call does nothing") {
  for (const std::string& name : {std::string(), std::string("/nowhere/notify"), std::string("@frisket-test-gone"),
                                  std::string("vsock:2:1"), "/" + std::string(200, 'x')}) {
    ServiceManager manager({name, "1000000", ""});
    manager.ready();
    manager.status("well");
    manager.alive();
    manager.stopping();
  }
  SUCCEED();
}
