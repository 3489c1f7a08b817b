#include "daemon/service/local_engine.h"

#include <charconv>
#include <fstream>
#include <limits>
#include <optional>
#include <random>
#include <string>
#include <system_error>

#include "daemon/service/whole_file.h"

namespace frisket::service {
namespace {

// RFC 3411 section 5: the top bit, an enterprise (RFC 5612's for examples: we have none), format 5
// (octets that the administrator, here chance, has chosen), at most 27 octets.
constexpr std::string_view kPrefix{"\x80\x00\x7e\xd9\x05", 5};
constexpr std::size_t kRandomOctets = 12;
// RFC 3414 section 2.2.2: at this number an engine is worn out and needs a new id.
constexpr std::uint32_t kMostBoots = std::numeric_limits<std::int32_t>::max();

std::string hex(std::string_view octets) {
  std::string text;
  for (const char c : octets) {
    text += "0123456789abcdef"[static_cast<unsigned char>(c) >> 4U];
    text += "0123456789abcdef"[static_cast<unsigned char>(c) & 0xfU];
  }
  return text;
}

std::optional<std::string> octets_of(std::string_view text) {
  std::string octets;
  if (text.size() != 2 * (kPrefix.size() + kRandomOctets)) return std::nullopt;
  for (std::size_t i = 0; i < text.size(); i += 2) {
    unsigned value = 0;
    const auto* end = text.data() + i + 2;
    if (std::from_chars(text.data() + i, end, value, 16).ptr != end) return std::nullopt;
    octets += static_cast<char>(value);
  }
  return octets.starts_with(kPrefix) ? std::optional(octets) : std::nullopt;
}

// "engine ID-IN-HEXADECIMAL boots NUMBER"; nothing for anything else.
std::optional<snmp::LocalEngine> read(const std::filesystem::path& file) {
  std::ifstream stream(file);
  std::string engine, id, boots, number;
  if (!(stream >> engine >> id >> boots >> number) || engine != "engine" || boots != "boots") return std::nullopt;
  snmp::LocalEngine found;
  const auto octets = octets_of(id);
  const auto [end, failed] = std::from_chars(number.data(), number.data() + number.size(), found.boots);
  if (!octets || failed != std::errc{} || end != number.data() + number.size() || found.boots >= kMostBoots)
    return std::nullopt;
  found.id = *octets;
  return found;
}

}  // namespace

snmp::LocalEngine new_engine() {
  snmp::LocalEngine engine;
  engine.id = kPrefix;
  std::random_device chance;
  for (std::size_t i = 0; i < kRandomOctets; ++i) engine.id += static_cast<char>(chance() & 0xffU);
  return engine;
}

model::Result<snmp::LocalEngine> next_engine(const std::filesystem::path& state_dir) {
  const auto file = state_dir / "engine";
  auto engine = read(file);
  if (engine)
    ++engine->boots;
  else
    engine = new_engine();
  const auto written =
      write_whole(file, "engine " + hex(engine->id) + " boots " + std::to_string(engine->boots) + "\n");
  if (!written) return written.error();
  return *engine;
}

}  // namespace frisket::service
