#include "probes/snmp/gate.h"

#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <catch2/catch.hpp>
#include <optional>
#include <string>
#include <vector>

namespace frisket::snmp {
namespace {

namespace asio = boost::asio;

// Visitors who come in when they get a place, and stay until they are sent out.
struct Door {
  asio::io_context context;
  Gate gate{context.get_executor(), 2};
  std::vector<std::optional<Gate::Pass>> inside = std::vector<std::optional<Gate::Pass>>(8);
  std::string entered;

  asio::awaitable<void> visit(std::size_t visitor) {
    auto pass = co_await gate.enter();
    inside[visitor].emplace(std::move(pass));
    entered += static_cast<char>('0' + visitor);
  }
  void comes(std::size_t visitor) {
    asio::co_spawn(context, visit(visitor), [](const std::exception_ptr&) {});
    settle();
  }
  void goes(std::size_t visitor) {
    inside[visitor].reset();
    settle();
  }
  void settle() {
    context.restart();
    context.poll();
  }
};

}  // namespace

TEST_CASE("so many are inside at once, the others follow in order of arrival") {
  Door door;
  for (std::size_t visitor = 0; visitor < 5; ++visitor) door.comes(visitor);
  CHECK(door.entered == "01");
  CHECK(door.gate.waiting() == 3);
  door.goes(1);
  CHECK(door.entered == "012");
  door.goes(0);
  door.goes(2);
  CHECK(door.entered == "01234");
  door.goes(3);
  door.goes(4);
  door.comes(5);
  door.comes(6);
  door.comes(7);
  CHECK(door.entered == "0123456");
}

TEST_CASE("who is destroyed while waiting leaves the line") {
  std::optional<Gate::Pass> first;
  std::optional<Gate::Pass> second;
  asio::io_context outer;
  Gate gate(outer.get_executor(), 1);
  const auto enter = [&](std::optional<Gate::Pass>& into) -> asio::awaitable<void> {
    auto pass = co_await gate.enter();
    into.emplace(std::move(pass));
  };
  {
    auto one = enter(first);
    asio::co_spawn(outer, std::move(one), [](const std::exception_ptr&) {});
    outer.poll();
    CHECK(first);
    asio::cancellation_signal signal;
    auto two = enter(second);
    asio::co_spawn(outer, std::move(two),
                   asio::bind_cancellation_slot(signal.slot(), [](const std::exception_ptr&) {}));
    outer.restart();
    outer.poll();
    CHECK(gate.waiting() == 1);
    signal.emit(asio::cancellation_type::terminal);
    outer.restart();
    outer.poll();
    CHECK(gate.waiting() == 0);
  }
  first.reset();
  auto three = enter(second);
  asio::co_spawn(outer, std::move(three), [](const std::exception_ptr&) {});
  outer.restart();
  outer.poll();
  CHECK(second);
}

}  // namespace frisket::snmp
