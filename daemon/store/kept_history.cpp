#include "daemon/store/kept_history.h"

#include <map>
#include <optional>

#include "daemon/upkeep/weeks.h"

namespace frisket::store {
namespace {

using model::Amount;
using model::WallTime;
using namespace upkeep;

// The first octet. A later format gets another number, and the earlier ones stay readable.
constexpr char kFormat = 2;
constexpr std::uint8_t kFirstFormat = 1;  // had no counts in colour

// The first octet of a change: its kind in the low three bits, above them what the kind needs.
enum class Kind : std::uint8_t { count, level, supply, serial, lost, heard };
constexpr int kKindBits = 3;
constexpr unsigned kThinned = 1;      // of a count
constexpr unsigned kHasColour = 2;    // of a count
constexpr unsigned kHasCapacity = 4;  // of a level, whose low two bits are the level's kind

enum class Meaning : std::uint8_t { unknown, unlimited, some_left, amount };

Meaning meaning_of(const model::Level& level) {
  if (std::holds_alternative<Amount>(level)) return Meaning::amount;
  if (std::holds_alternative<model::SomeLeft>(level)) return Meaning::some_left;
  return std::holds_alternative<model::Unlimited>(level) ? Meaning::unlimited : Meaning::unknown;
}

model::Level level_of(Meaning meaning, std::int32_t units) {
  if (meaning == Meaning::amount) return Amount{units};
  if (meaning == Meaning::some_left) return model::SomeLeft{};
  if (meaning == Meaning::unlimited) return model::Unlimited{};
  return model::Unknown{};
}

// As on the wire (RFC 3805): -1 no restriction, -2 unknown.
std::int32_t wire_of(const model::Capacity& capacity) {
  if (const auto* amount = std::get_if<Amount>(&capacity)) return amount->units;
  return std::holds_alternative<model::Unlimited>(capacity) ? -1 : -2;
}

// What differences are taken to; the same while packing and unpacking.
struct Before {
  struct Supply {
    std::int32_t units = 0;
    std::optional<model::Capacity> capacity;
  };
  explicit Before(std::int64_t week) : second(seconds_of(start_of_week(week))) {}
  static std::int64_t seconds_of(WallTime at) {
    return std::chrono::floor<std::chrono::seconds>(at.time_since_epoch()).count();
  }

  std::int64_t second;
  std::uint32_t count = 0;
  std::uint32_t colour = 0;
  std::map<std::int32_t, Supply> supplies;
};

class Packer {
 public:
  explicit Packer(std::int64_t week) : before_(week) { octets_ += kFormat; }

  void add(const Change& change) {
    at_ = Before::seconds_of(change.at);
    std::visit([this](const auto& what) { pack(what); }, change.what);
  }

  std::string take() { return std::move(octets_); }

 private:
  void begin(Kind kind, unsigned more = 0) {
    octets_ += static_cast<char>(static_cast<unsigned>(kind) | more << kKindBits);
    number(at_ - before_.second);
    before_.second = at_;
  }
  // Small ones of either sign are short.
  void number(std::int64_t value) {
    auto rest = static_cast<std::uint64_t>(value) << 1 ^ static_cast<std::uint64_t>(value >> 63);
    for (; rest >= 0x80; rest >>= 7) octets_ += static_cast<char>(rest | 0x80);
    octets_ += static_cast<char>(rest);
  }
  void text(const std::string& value) {
    number(static_cast<std::int64_t>(value.size()));
    octets_ += value;
  }

  void pack(const CountChange& count) {
    begin(Kind::count, (count.thinned ? kThinned : 0) | (count.colour ? kHasColour : 0));
    number(static_cast<std::int64_t>(count.count) - before_.count);
    before_.count = count.count;
    if (!count.colour) return;
    number(static_cast<std::int64_t>(*count.colour) - before_.colour);
    before_.colour = *count.colour;
  }
  void pack(const LevelChange& level) {
    auto& before = before_.supplies[level.supply];
    const bool new_capacity = before.capacity != level.capacity;
    const auto meaning = meaning_of(level.level);
    begin(Kind::level, static_cast<unsigned>(meaning) | (new_capacity ? kHasCapacity : 0));
    number(level.supply);
    if (const auto units = amount_of(level.level)) {
      number(std::int64_t{*units} - before.units);
      before.units = *units;
    }
    if (new_capacity) number(wire_of(level.capacity));
    before.capacity = level.capacity;
  }
  void pack(const SupplyStated& supply) {
    begin(Kind::supply);
    number(supply.supply);
    number(static_cast<std::int32_t>(supply.supply_class));
    number(static_cast<std::int32_t>(supply.type));
    text(supply.colorant);
    text(supply.description);
  }
  void pack(const SerialStated& serial) {
    begin(Kind::serial);
    text(serial.serial);
  }
  void pack(const Lost&) { begin(Kind::lost); }
  void pack(const Heard&) { begin(Kind::heard); }

  std::string octets_;
  Before before_;
  std::int64_t at_ = 0;
};

// Past the end, or after nonsense, everything reads as 0 and fits() is false.
class Unpacker {
 public:
  Unpacker(std::string_view octets, std::int64_t week) : rest_(octets), before_(week) {
    if (const auto format = octet(); format < kFirstFormat || format > kFormat) nonsense();
  }

  bool more() const { return fits_ && !rest_.empty(); }
  bool fits() const { return fits_; }

  Change next() {
    const unsigned head = octet();
    const auto kind = static_cast<Kind>(head & ((1U << kKindBits) - 1));
    before_.second = sum(before_.second, number());
    // Beyond this no clock of ours comes, and milliseconds would overflow.
    constexpr std::int64_t kMost = std::int64_t{1} << 50;
    if (before_.second > kMost || before_.second < -kMost) before_.second = nonsense();
    return {WallTime{std::chrono::seconds{before_.second}}, what(kind, head >> kKindBits)};
  }

 private:
  int nonsense() {
    fits_ = false;
    rest_ = {};
    return 0;
  }
  std::uint8_t octet() {
    if (rest_.empty()) return static_cast<std::uint8_t>(nonsense());
    const auto first = static_cast<std::uint8_t>(rest_.front());
    rest_.remove_prefix(1);
    return first;
  }
  std::int64_t number() {
    std::uint64_t value = 0;
    for (unsigned shift = 0; shift < 64; shift += 7) {
      const auto part = octet();
      value |= static_cast<std::uint64_t>(part & 0x7F) << shift;
      if (part < 0x80) return static_cast<std::int64_t>(value >> 1 ^ (~(value & 1) + 1));
    }
    return nonsense();
  }
  static std::int64_t sum(std::int64_t a, std::int64_t b) {
    return static_cast<std::int64_t>(static_cast<std::uint64_t>(a) + static_cast<std::uint64_t>(b));  // may wrap
  }
  template <class T>
  T narrow(std::int64_t value) {
    return std::in_range<T>(value) ? static_cast<T>(value) : static_cast<T>(nonsense());
  }
  std::int32_t word() { return narrow<std::int32_t>(number()); }
  std::string text() {
    const auto length = number();
    if (length < 0 || static_cast<std::uint64_t>(length) > rest_.size()) nonsense();
    std::string value(rest_.substr(0, static_cast<std::size_t>(fits_ ? length : 0)));
    rest_.remove_prefix(value.size());
    return value;
  }

  WhatChanged what(Kind kind, unsigned more) {
    switch (kind) {
      case Kind::count:
        return count(more);
      case Kind::level:
        return level(more);
      case Kind::supply:
        return supply();
      case Kind::serial:
        return SerialStated{text()};
      case Kind::lost:
        return Lost{};
      case Kind::heard:
        return Heard{};
    }
    nonsense();
    return Lost{};
  }

  CountChange count(unsigned more) {
    before_.count = narrow<std::uint32_t>(sum(before_.count, number()));
    CountChange count{before_.count, (more & kThinned) != 0};
    if ((more & kHasColour) != 0) count.colour = before_.colour = narrow<std::uint32_t>(sum(before_.colour, number()));
    return count;
  }

  LevelChange level(unsigned more) {
    const auto index = word();
    auto& before = before_.supplies[index];
    const auto meaning = static_cast<Meaning>(more & 3);
    if (meaning == Meaning::amount) before.units = narrow<std::int32_t>(sum(before.units, number()));
    if ((more & kHasCapacity) != 0) before.capacity = model::decode_capacity(word());
    return {index, level_of(meaning, before.units), before.capacity.value_or(model::Unknown{})};
  }

  SupplyStated supply() {
    SupplyStated stated;
    stated.supply = word();
    stated.supply_class = static_cast<model::SupplyClass>(word());
    stated.type = static_cast<model::SupplyType>(word());
    stated.colorant = text();
    stated.description = text();
    return stated;
  }

  std::string_view rest_;
  Before before_;
  bool fits_ = true;
};

}  // namespace

std::string kept_octets(const Changes& changes, std::int64_t week) {
  Packer packer(week);
  for (const auto& change : changes) packer.add(change);
  return packer.take();
}

std::optional<model::Error> append_changes(Changes& changes, std::string_view octets, std::int64_t week) {
  const auto before = changes.size();
  Unpacker unpacker(octets, week);
  while (unpacker.more()) changes.push_back(unpacker.next());
  if (unpacker.fits()) return std::nullopt;
  changes.resize(before);
  return model::Error{model::Error::Kind::invalid, "reading a week of history", "", "it is cut short or no history"};
}

model::Result<Changes> changes_from(std::string_view octets, std::int64_t week) {
  Changes changes;
  if (auto error = append_changes(changes, octets, week)) return *error;
  return changes;
}

}  // namespace frisket::store
