// Batches with a number, so that a test can say what a store that holds the first so many of them must answer.
#pragma once

#include <algorithm>

#include "daemon/store/memory_store.h"
#include "daemon/store/store.h"
#include "fixtures.h"

namespace frisket::store::testing {

inline std::string numbered_id(std::uint64_t number, int part) {
  return "n" + std::to_string(100'000 + number) + "-" + std::to_string(part);
}

// Something in every table, and in three a change of what the batch before wrote.
inline Batch numbered(std::uint64_t number) {
  const auto at = kMorning + std::chrono::minutes(number);
  Batch batch = of({raised(incident(numbered_id(number, 1), at)), raised(incident(numbered_id(number, 2), at))});
  batch.devices["herbarium-copier"].reach.missed = static_cast<int>(number);
  batch.notices = {notice(2 * number, numbered_id(number, 1)), notice(2 * number + 1, numbered_id(number, 2))};
  batch.replacements = {{"herbarium-copier", 1, std::string(500, 'r'), "black", at, {}, {}, number}};
  batch.readings = {reading(at, static_cast<std::uint32_t>(number))};
  batch.audit = {act("n" + std::to_string(number), at)};
  batch.last_id = number;
  if (number > 1) {
    batch.transitions.push_back(cleared(incident(numbered_id(number - 1, 1), at - 1min), at));
    batch.notices.push_back(notice(2 * number - 2, numbered_id(number - 1, 1), Notice::State::delivered));
  }
  return batch;
}

// How many of the batches the store holds, by the one number that each of them raises.
inline std::uint64_t count_in(Store& store) { return must(store.memory()).last_id; }

// Fails the test unless both answer every question alike.
inline void check_same(Store& store, Store& expected) {
  CHECK(must(store.memory()) == must(expected.memory()));
  CHECK(must(store.outbox()) == must(expected.outbox()));
  CHECK(must(store.last_notice_number()) == must(expected.last_notice_number()));
  CHECK(must(store.replacements("herbarium-copier")) == must(expected.replacements("herbarium-copier")));
  CHECK(std::ranges::equal(must(store.transitions_since(WallTime{})), must(expected.transitions_since(WallTime{})),
                           [](const Transition& one, const Transition& other) {
                             return one.at == other.at && one.incident == other.incident;
                           }));
  CHECK(std::ranges::equal(must(store.readings_since(WallTime{})), must(expected.readings_since(WallTime{})),
                           [](const model::DeviceReading& one, const model::DeviceReading& other) {
                             return one.at == other.at && one.snapshot && *one.snapshot == *other.snapshot;
                           }));
  CHECK(must(store.audit({10'000, 0})) == must(expected.audit({10'000, 0})));
  CHECK(store.take_findings().empty());
}

// Fails the test unless the store holds exactly the first `count` batches, each of them whole.
inline void check_holds(Store& store, std::uint64_t count) {
  MemoryStore expected;
  for (std::uint64_t number = 1; number <= count; ++number) must(expected.write(numbered(number)));
  check_same(store, expected);
}

}  // namespace frisket::store::testing
