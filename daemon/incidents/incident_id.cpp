#include "daemon/incidents/incident_id.h"

#include <algorithm>

namespace frisket::incidents {
namespace {

constexpr std::string_view kAlphabet = "0123456789abcdefghjkmnpqrstvwxyz";  // no i, l, o, u
constexpr std::size_t kLength = 8;
constexpr std::uint64_t kMask = (std::uint64_t{1} << (5 * kLength)) - 1;
constexpr model::WallTime kEpoch = std::chrono::sys_days{std::chrono::year{2025} / 1 / 1};

}  // namespace

std::string IncidentIds::next(model::WallTime raised_at) {
  const auto since = std::max((raised_at - kEpoch).count(), model::Milliseconds::rep{0});
  last_ = std::max(last_ + 1, static_cast<std::uint64_t>(since));
  return id_text(last_);
}

std::string id_text(std::uint64_t number) {
  std::string text(kLength, '0');
  number &= kMask;
  for (auto place = text.rbegin(); place != text.rend(); ++place, number >>= 5) *place = kAlphabet[number & 31];
  return text;
}

std::optional<std::uint64_t> id_number(std::string_view text) {
  if (text.size() != kLength) return std::nullopt;
  std::uint64_t number = 0;
  for (const char c : text) {
    const auto digit = kAlphabet.find(c);
    if (digit == std::string_view::npos) return std::nullopt;
    number = number << 5 | digit;
  }
  return number;
}

}  // namespace frisket::incidents
