// A network in simulated time with real sockets on loopback.
#pragma once

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <catch2/catch.hpp>
#include <chrono>
#include <exception>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>

#include "probes/snmp/exchange.h"
#include "simulated_clock.h"

namespace frisket::testing {

using namespace std::chrono_literals;

inline config::Credential community(std::string text) {
  config::Credential credential;
  credential.name = text;
  credential.community = std::move(text);
  return credential;
}

// Runs one awaitable to its result; empty until then.
template <class T>
struct Running {
  std::optional<T> result;
  bool cancelled = false;
  bool ended() const { return cancelled || result.has_value(); }
};

struct Talking {
  boost::asio::io_context context;
  SimulatedClock clock{context};
  config::Polling polling;
  snmp::Network network{context.get_executor(), clock, polling};

  ~Talking() {
    network.stop();
    clock.settle();
  }

  template <class T>
  std::shared_ptr<Running<T>> start(boost::asio::awaitable<T> what) {
    auto running = std::make_shared<Running<T>>();
    auto ended = [running](const std::exception_ptr& failed, std::optional<T> value) {
      running->cancelled = failed != nullptr;
      if (!failed) running->result = std::move(value);
    };
    boost::asio::co_spawn(context, hold(std::move(what)), std::move(ended));
    return running;
  }

  // Lets the sockets work, without the clock moving on, until it is so. Loopback delivers at once or
  // as soon as the kernel gets to it: the limit is only there to fail instead of hanging.
  void until(const std::function<bool()>& so) {
    const auto limit = std::chrono::steady_clock::now() + 10s;
    while (!so()) {
      REQUIRE(std::chrono::steady_clock::now() < limit);
      context.restart();
      context.run_one_for(10ms);
    }
  }

  std::uint64_t count(const char* name) { return network.counters().at(name); }

 private:
  template <class T>
  static boost::asio::awaitable<std::optional<T>> hold(boost::asio::awaitable<T> what) {
    auto value = co_await std::move(what);
    co_return std::optional<T>(std::move(value));
  }
};

}  // namespace frisket::testing
