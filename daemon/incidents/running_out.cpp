#include "daemon/incidents/running_out.h"

#include <algorithm>
#include <array>

namespace frisket::incidents {
namespace {

// How the keywords of RFC 8011 section 5.4.12 and PWG 5100.9 end that say so.
constexpr std::array<std::string_view, 8> kEnds = {
    "-low", "-empty", "-full", "-near-eol", "-life-over", "-life-almost-over", "-near-limit", "-at-limit",
};

}  // namespace

bool is_running_out(std::int32_t supply, const std::vector<Condition>& conditions) {
  return std::ranges::any_of(conditions, [&](const auto& condition) {
    return condition.subunit.kind == Subunit::Kind::supply && condition.subunit.index == supply &&
           std::ranges::any_of(kEnds, [&](auto end) { return condition.keyword.ends_with(end); });
  });
}

}  // namespace frisket::incidents
