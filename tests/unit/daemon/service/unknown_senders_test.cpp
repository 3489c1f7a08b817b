#include "daemon/service/unknown_senders.h"

#include <catch2/catch.hpp>
#include <chrono>

using namespace std::chrono_literals;
using frisket::service::UnknownSenders;

namespace {

const frisket::model::WallTime kMorning{std::chrono::sys_days{std::chrono::year{2026} / 1 / 5} + 8h};

}  // namespace

TEST_CASE("each sender is listed once, with its count and when it was heard last, the latest first") {
  UnknownSenders senders;
  senders.add("192.0.2.7", kMorning);
  senders.add("192.0.2.8", kMorning + 1s);
  senders.add("192.0.2.7", kMorning + 2s);
  REQUIRE(senders.list().size() == 2);
  CHECK(senders.list()[0].address == "192.0.2.7");
  CHECK(senders.list()[0].count == 2);
  CHECK(senders.list()[0].last == kMorning + 2s);
  CHECK(senders.list()[1].address == "192.0.2.8");
  CHECK(senders.list()[1].count == 1);
}

TEST_CASE("where there is no room, the one that was silent longest goes") {
  UnknownSenders senders(3);
  for (const char* address : {"192.0.2.1", "192.0.2.2", "192.0.2.3", "192.0.2.1", "192.0.2.4"})
    senders.add(address, kMorning);
  REQUIRE(senders.list().size() == 3);
  CHECK(senders.list()[0].address == "192.0.2.4");
  CHECK(senders.list()[1].address == "192.0.2.1");
  CHECK(senders.list()[1].count == 2);
  CHECK(senders.list()[2].address == "192.0.2.3");
}
