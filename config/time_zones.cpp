#include "config/time_zones.h"

#include <array>
#include <fstream>
#include <string_view>

namespace frisket::config {
namespace {

// RFC 8536 section 3.1: every zone file begins with these four octets.
bool is_zone_file(const std::filesystem::path& file) {
  std::error_code ignored;
  if (!std::filesystem::is_regular_file(file, ignored)) return false;
  std::array<char, 4> magic{};
  std::ifstream stream(file, std::ios::binary);
  return stream.read(magic.data(), magic.size()) && std::string_view(magic.data(), magic.size()) == "TZif";
}

}  // namespace

TimeZones::TimeZones(std::filesystem::path folder) : folder_(std::move(folder)) {
  std::error_code ignored;
  installed_ = std::filesystem::is_directory(folder_, ignored);
}

bool TimeZones::knows(const std::string& name) {
  if (name.starts_with("posix/") || name.starts_with("right/")) return false;
  const auto [entry, fresh] = asked_.try_emplace(name, false);
  if (fresh) entry->second = is_zone_file(folder_ / name);
  return entry->second;
}

}  // namespace frisket::config
