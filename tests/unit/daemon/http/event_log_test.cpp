// The wire's form is WHATWG HTML section 9.2, "Server-sent events".
#include "daemon/http/event_log.h"

#include <catch2/catch.hpp>

using frisket::http::EventLog;

namespace {

EventLog log_of(std::size_t events, std::size_t bytes = 1U << 20U) { return EventLog("run", {events, bytes}); }

}  // namespace

TEST_CASE("an event is an id, a name and one line of data, and ends with an empty line") {
  auto log = log_of(10);
  log.append("device", R"({"name":"a"})");
  const auto batch = log.after(0, 1000);
  REQUIRE(batch);
  CHECK(batch->text == "id: run-1\nevent: device\ndata: {\"name\":\"a\"}\n\n");
  CHECK(batch->position == 1);
}

TEST_CASE("a reader gets each event once and in order, however small its batches") {
  auto log = log_of(10);
  for (const auto* data : {"1", "2", "3"}) log.append("n", data);
  std::string all;
  std::uint64_t position = 0;
  int batches = 0;
  while (position < log.newest()) {
    const auto batch = log.after(position, 1);
    REQUIRE(batch);
    all += batch->text;
    position = batch->position;
    ++batches;
  }
  CHECK(batches == 3);
  CHECK(all == log.after(0, 10000)->text);
  CHECK(log.after(3, 10000)->text.empty());
}

TEST_CASE("a batch holds as many whole events as fit") {
  auto log = log_of(10);
  for (int i = 0; i < 5; ++i) log.append("n", "x");
  const auto one = log.after(0, 1)->text.size();
  CHECK(log.after(0, 2 * one)->position == 2);
  CHECK(log.after(0, 3 * one - 1)->position == 2);
  CHECK(log.after(0, 5 * one)->position == 5);
}

TEST_CASE("a reader whose next event is no longer kept gets nothing instead of a hole") {
  auto log = log_of(2);
  for (int i = 0; i < 5; ++i) log.append("n", "x");
  CHECK_FALSE(log.after(2, 1000));
  CHECK(log.after(3, 1000)->position == 5);
  CHECK_FALSE(log.after(6, 1000));
}

TEST_CASE("the log is bounded by bytes too, and keeps the newest event whatever its size") {
  auto log = log_of(100, 200);
  for (int i = 0; i < 50; ++i) log.append("n", std::string(60, 'x'));
  CHECK_FALSE(log.after(47, 1000));
  CHECK(log.after(48, 1000)->position == 50);
  log.append("n", std::string(1000, 'y'));
  CHECK(log.after(50, 1)->position == 51);
  CHECK_FALSE(log.after(49, 1));
}

TEST_CASE("an id leads back to its position only within this run and what is kept") {
  auto log = log_of(2);
  CHECK(log.position_of("run-0") == 0);
  for (int i = 0; i < 5; ++i) log.append("n", "x");
  CHECK(log.position_of("run-5") == 5);
  CHECK(log.position_of("run-3") == 3);
  for (const auto* id :
       {"run-2", "run-6", "other-5", "run5", "run-", "run-5x", "run--1", "", "run-99999999999999999999"}) {
    CAPTURE(id);
    CHECK_FALSE(log.position_of(id));
  }
}

TEST_CASE("subscribers hear of each append until they let go, also from within a callback") {
  auto log = log_of(10);
  int first = 0;
  int second = 0;
  EventLog::Subscription b;
  auto a = log.subscribe([&] {
    ++first;
    b.reset();
  });
  b = log.subscribe([&] { ++second; });
  CHECK(log.subscribers() == 2);
  log.append("n", "x");
  CHECK(first == 1);
  CHECK(second == 0);
  CHECK(log.subscribers() == 1);
  a.reset();
  log.append("n", "x");
  CHECK(first == 1);
}

TEST_CASE("a subscription may outlive its log") {
  EventLog::Subscription subscription;
  {
    auto log = log_of(10);
    subscription = log.subscribe([] {});
  }
  subscription.reset();
  SUCCEED();
}
