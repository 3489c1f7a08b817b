// What becomes of the values that agents answered: a whole reading, and the cheap poll's patches of it.
#include <algorithm>
#include <chrono>
#include <memory>
#include <vector>

#include "probes/snmp/decode.h"
#include "probes/snmp/watch.h"
#include "snmp_choices.h"
#include "snmp_drivers.h"
#include "snmp_promises.h"

namespace frisket::fuzz {
namespace {

using namespace snmp;

// The object that was asked for, one near it, or none.
Oid answered_name(const Oid& asked, Choices& choices) {
  const auto ids = asked.view();
  switch (choices.octet() % 8) {
    case 0:
      return Oid(ids.first(ids.size() - 1));
    case 1:
      return Oid(asked).append(choices.octet());
    case 2:
      return Oid{1, 3, choices.number()};
    case 3:
    case 4:  // what GETNEXT comes to
      return Oid(ids.first(ids.size() - 1)).append(ids.back() + 1);
    default:
      return asked;
  }
}

}  // namespace

void drive_reading(std::span<const std::uint8_t> input) {
  Choices choices(input);
  const auto raw = reading_from(choices);
  const auto first = decode(raw, nullptr);
  check_snapshot(first);
  check_snapshot(decode(raw, &first));
}

void drive_watch(std::span<const std::uint8_t> input) {
  Choices choices(input);
  const auto manner = choices.octet();
  const auto counters = (manner & 1U) != 0 ? AlertCounters::not_trusted : AlertCounters::trusted;
  const std::size_t octets = (manner & 2U) != 0 ? std::size_t{choices.octet()} * 8 : Watch::kAnswerOctets;
  const DeviceIndex index{choices.octet(), choices.octet()};
  const auto before = std::make_shared<const model::DeviceSnapshot>(decode(reading_from(choices), nullptr));

  const Watch watch(*before, index, counters, {}, octets);
  const auto names = watch.names();
  std::size_t least = 0;  // octets of an answer: name's header and last part, value's header
  std::vector<VarBind> answers;
  for (const auto& name : names) {
    promise(name.size() >= 2 && name.size() <= kMaxOidLength);
    least += 6;
    auto answered = answered_name(name, choices);
    answers.push_back({std::move(answered), choices.value()});
  }
  promise(least <= octets || names.empty());
  if ((manner & 4U) != 0 && !answers.empty()) answers.pop_back();
  if ((manner & 8U) != 0 && !answers.empty()) answers.push_back(answers.front());

  const auto outcome = watch.take(answers, before);
  promise(outcome.snapshot != nullptr && outcome.gone.size() <= names.size());
  check_snapshot(*outcome.snapshot);
  if (outcome.snapshot != before) promise(*outcome.snapshot != *before);

  // The same answer once more says nothing new: not a value, and nothing more to read again.
  const auto again = watch.take(answers, outcome.snapshot);
  promise(again.snapshot == outcome.snapshot);
  promise(outcome.everything || !again.everything);
  promise((again.again & ~outcome.again).none());
  promise(again.gone == outcome.gone && again.up_time == outcome.up_time);
  // What has come of it can be watched as well, with what is gone left out.
  const Watch next(*outcome.snapshot, index, counters, outcome.gone, octets);
  promise(next.names().size() <= 2 * names.size() + 300);

  const auto was = choices.number();
  const auto is = choices.number();
  promise(!has_restarted(was, was, std::chrono::seconds(0)));
  has_restarted(was, is, std::chrono::seconds(choices.number()));
}

}  // namespace frisket::fuzz
