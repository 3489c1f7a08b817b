#include "daemon/incidents/reach.h"

#include <algorithm>

#include "daemon/incidents/kinds.h"

namespace frisket::incidents {
namespace {

using model::Reach;

constexpr std::size_t kMostInterruptions = 256;

std::string_view reach_keyword(Reach reach) {
  switch (reach) {
    case Reach::refused:
      return "device-refused";
    case Reach::unknown_user:
      return "device-unknown-user";
    case Reach::wrong_key:
      return "device-wrong-key";
    case Reach::nonsense:
      return "device-nonsense";
    default:
      return "device-silent";
  }
}

std::optional<std::uint64_t> errors_of(const model::DeviceSnapshot& snapshot) {
  std::optional<std::uint64_t> sum;
  for (const auto& interface : snapshot.interfaces)
    for (const auto& counter : {interface.in_errors, interface.out_errors})
      if (counter) sum = sum.value_or(0) + *counter;
  return sum;
}

// Counters start again when a printer does, and wrap. What came together while it was not read for more
// than the window shows no rate.
void note_interfaces(ReachMemory& memory, const model::DeviceSnapshot& snapshot, WallTime at) {
  const auto errors = errors_of(snapshot);
  if (!errors) return;
  const bool over = !memory.interface_errors_since || at - *memory.interface_errors_since >= kCableWindow;
  const bool known =
      memory.interface_errors && memory.interface_errors_since && at - *memory.interface_errors_since <= kCableWindow;
  const bool grew = known && *errors >= *memory.interface_errors + kInterfaceErrors;
  if (grew) memory.interface_errors_grew = at;
  if (!memory.interface_errors || over || grew || *errors < *memory.interface_errors) {
    memory.interface_errors = errors;
    memory.interface_errors_since = at;
  }
}

void forget_old(ReachMemory& memory, WallTime at) {
  std::erase_if(memory.interruptions, [&](WallTime began) { return at - began >= kCableWindow; });
  if (memory.interface_errors_grew && at - *memory.interface_errors_grew >= kCableWindow)
    memory.interface_errors_grew.reset();
}

}  // namespace

void note_missed(ReachMemory& memory, Reach reach, std::string detail, WallTime at, bool counts) {
  forget_old(memory, at);
  if (memory.missed++ == 0) {
    memory.missed_since = at;
    if (counts && memory.interruptions.size() < kMostInterruptions) memory.interruptions.push_back(at);
  }
  memory.last = reach == Reach::answered ? Reach::nonsense : reach;
  memory.detail = std::move(detail);
}

void note_answered(ReachMemory& memory, const model::DeviceSnapshot& snapshot, WallTime at) {
  forget_old(memory, at);
  memory.missed = 0;
  memory.missed_since.reset();
  memory.last = Reach::answered;
  memory.detail.clear();
  note_interfaces(memory, snapshot, at);
}

void forget_interruption(ReachMemory& memory) {
  if (!memory.interruptions.empty() && memory.interruptions.back() == memory.missed_since)
    memory.interruptions.pop_back();
}

Condition missed_condition(const ReachMemory& memory) {
  return condition_of(reach_keyword(memory.last), memory.missed_since.value_or(WallTime{}),
                      {Witness::Source::reachability, memory.detail});
}

std::optional<Condition> cable_condition(const ReachMemory& memory, const config::Device& device, bool open,
                                         WallTime at) {
  const auto polls = std::chrono::seconds(kCableWindow) / std::max(device.poll_interval, config::Seconds{1});
  const auto enough = std::max<std::int64_t>(kInterruptions, polls / kPollsPerInterruption);
  const auto recent = std::ranges::count_if(memory.interruptions, [&](WallTime t) { return at - t < kCableWindow; });
  const bool comes_and_goes = recent >= enough || (open && recent > 0);
  const bool spoils = memory.interface_errors_grew && at - *memory.interface_errors_grew < kCableWindow;
  if (!comes_and_goes && !spoils) return std::nullopt;
  std::optional<Condition> condition;
  if (comes_and_goes)
    condition = condition_of("cable-suspect", memory.interruptions.front(),
                             {Witness::Source::history, std::to_string(recent) + " interruptions within an hour"});
  if (spoils) {
    Witness witness{Witness::Source::interface, "its interfaces counted 100 errors and more within an hour"};
    if (condition)
      condition->witnesses.insert(condition->witnesses.begin(), std::move(witness));
    else
      condition = condition_of("cable-suspect", *memory.interface_errors_grew, std::move(witness));
  }
  return condition;
}

}  // namespace frisket::incidents
