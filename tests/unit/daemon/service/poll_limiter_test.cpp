#include "daemon/service/poll_limiter.h"

#include <catch2/catch.hpp>
#include <chrono>
#include <string>
#include <vector>

using namespace std::chrono_literals;
using frisket::model::SteadyTime;
using frisket::service::PollLimiter;
using Answer = PollLimiter::Answer;

namespace {

SteadyTime at(std::chrono::milliseconds time) { return SteadyTime{} + 1h + time; }

// Everything that take_due() gives until `end`, with the time of each.
std::vector<std::pair<std::string, std::chrono::milliseconds>> polls_until(PollLimiter& limiter, SteadyTime end) {
  std::vector<std::pair<std::string, std::chrono::milliseconds>> polls;
  for (auto due = limiter.next_due(); due && *due <= end; due = limiter.next_due())
    for (auto& device : limiter.take_due(*due))
      polls.emplace_back(device, std::chrono::duration_cast<std::chrono::milliseconds>(*due - at(0ms)));
  return polls;
}

}  // namespace

TEST_CASE("the first notification of a device polls at once") {
  PollLimiter limiter(5s, 50);
  CHECK(limiter.ask("herbarium", at(0ms)) == Answer::now);
  CHECK_FALSE(limiter.next_due());
}

TEST_CASE("those that follow within the interval become one poll at its end") {
  PollLimiter limiter(5s, 50);
  CHECK(limiter.ask("herbarium", at(0ms)) == Answer::now);
  CHECK(limiter.ask("herbarium", at(1ms)) == Answer::later);
  for (int i = 2; i < 4000; ++i) CHECK(limiter.ask("herbarium", at(i * 1ms)) == Answer::already);
  CHECK(limiter.take_due(at(4999ms)).empty());
  CHECK(limiter.take_due(at(5000ms)) == std::vector<std::string>{"herbarium"});
  CHECK(limiter.take_due(at(20s)).empty());
}

TEST_CASE("the poll at the interval's end begins an interval of its own") {
  PollLimiter limiter(5s, 50);
  limiter.ask("herbarium", at(0ms));
  limiter.ask("herbarium", at(4s));
  REQUIRE(limiter.take_due(at(5s)).size() == 1);
  CHECK(limiter.ask("herbarium", at(6s)) == Answer::later);
  CHECK(limiter.next_due() == at(10s));
}

TEST_CASE("a device is free again when the interval is over") {
  PollLimiter limiter(5s, 50);
  limiter.ask("herbarium", at(0ms));
  CHECK(limiter.ask("herbarium", at(5s)) == Answer::now);
}

TEST_CASE("one device's interval is nothing to another") {
  PollLimiter limiter(5s, 50);
  CHECK(limiter.ask("herbarium", at(0ms)) == Answer::now);
  CHECK(limiter.ask("palm-house", at(0ms)) == Answer::now);
}

TEST_CASE("a flood over a whole fleet polls at the rate, everybody once, in order of asking") {
  PollLimiter limiter(5s, 50);
  std::size_t at_once = 0;
  for (int i = 0; i < 200; ++i) at_once += limiter.ask("device-" + std::to_string(i), at(0ms)) == Answer::now;
  CHECK(at_once == 50);  // a second's worth
  CHECK(limiter.waiting() == 150);
  const auto polls = polls_until(limiter, at(1h));
  REQUIRE(polls.size() == 150);
  for (std::size_t i = 0; i < polls.size(); ++i) {
    CHECK(polls[i].first == "device-" + std::to_string(50 + i));
    CHECK(polls[i].second == std::chrono::milliseconds(20 * (i + 1)));
  }
}

TEST_CASE("an hour of notifications without a pause polls no more than the interval allows") {
  PollLimiter limiter(5s, 50);
  std::size_t polls = 0;
  for (auto time = 0ms; time < 1h; time += 100ms) {
    polls += limiter.take_due(at(time)).size();
    polls += limiter.ask("herbarium", at(time)) == Answer::now;
  }
  CHECK(polls == 720);
}

TEST_CASE("whoever comes later does not go before those who wait for the rate") {
  PollLimiter limiter(5s, 1);
  CHECK(limiter.ask("first", at(0ms)) == Answer::now);
  CHECK(limiter.ask("second", at(0ms)) == Answer::later);
  CHECK(limiter.ask("third", at(1s)) == Answer::later);
  CHECK(limiter.take_due(at(1s)) == std::vector<std::string>{"second"});
  CHECK(limiter.take_due(at(2s)) == std::vector<std::string>{"third"});
}

TEST_CASE("a device that is no longer configured is not polled when its turn would come") {
  PollLimiter limiter(5s, 50);
  limiter.ask("goes", at(0ms));
  limiter.ask("goes", at(1s));
  limiter.ask("stays", at(0ms));
  limiter.ask("stays", at(2s));
  limiter.keep_only({"stays"});
  CHECK(limiter.waiting() == 1);
  CHECK(limiter.take_due(at(1h)) == std::vector<std::string>{"stays"});
}
