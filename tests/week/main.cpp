// play_week SEED...: plays the garden's week with each seed, prints its figures and every difference between what was
// so and what was told.
//
// Ends with 0 if there is no difference, the raw changes are at least eight to an incident and the average load is
// very likely acceptable (EEMUA 191, RFC 8632 Table 4); with 1 if not, 2 on bad usage.
#include <charconv>
#include <cstdio>
#include <cstring>
#include <iostream>

#include "verdict.h"

namespace frisket::week {
namespace {

constexpr double kLeastRatio = 8;

double ratio(std::int64_t changes, std::size_t incidents) {
  return incidents == 0 ? 0 : static_cast<double>(changes) / static_cast<double>(incidents);
}

void print(std::uint64_t seed, const Plan& plan, const Played& played, const Verdict& verdict) {
  const auto& raw = played.raw;
  const auto& week = verdict.load.fleet.week;
  std::printf("week %llu: %zu devices, %lld polls (%lld without an answer, %lld of these lost on the way)\n",
              static_cast<unsigned long long>(seed), plan.fleet.size(), static_cast<long long>(played.polls),
              static_cast<long long>(played.missed), static_cast<long long>(played.lost));
  std::printf("  true problems    %zu shown by a poll (%zu of them a cover or tray open for a moment), %zu by none\n",
              verdict.problems, verdict.brief, verdict.never_shown);
  std::printf("  incidents        %zu, raised again %zu, still open %zu\n", verdict.incidents, verdict.raised_again,
              verdict.open_at_end);
  std::printf("  raw changes      %lld: rows %lld, bits %lld, statuses %lld\n", static_cast<long long>(raw.all()),
              static_cast<long long>(raw.rows), static_cast<long long>(raw.bits), static_cast<long long>(raw.statuses));
  std::printf("  to one incident  %.1f, and %.1f without rows of reports, sleep and warming up\n",
              ratio(raw.all(), verdict.incidents), ratio(raw.of_troubles(), verdict.incidents));
  std::printf("  in 10 minutes    %.2f on average over the 60 busy hours, %.2f over the week (%s), at most %zu\n",
              verdict.per_ten_busy_minutes, week.per_ten_minutes, std::string(to_text(week.rate)).c_str(),
              verdict.busy_peak);
  std::printf("  floods           %zu; chattering %zu, stale %zu at the end; ten noisiest %.0f %% of all\n",
              verdict.load.floods.size(), verdict.load.chattering, verdict.load.stale,
              100 * verdict.load.noisiest_share);
  for (const auto& difference : verdict.differences) std::printf("  DIFFERENT  %s\n", difference.c_str());
  std::printf("  differences      %zu\n", verdict.differences.size());
}

bool is_well(const Played& played, const Verdict& verdict) {
  return verdict.differences.empty() && verdict.problems > 0 &&
         ratio(played.raw.all(), verdict.incidents) >= kLeastRatio && verdict.per_ten_busy_minutes < 1;
}

}  // namespace
}  // namespace frisket::week

int main(int argc, char** argv) {
  using namespace frisket::week;
  bool well = argc > 1;
  for (int i = 1; i < argc; ++i) {
    std::uint64_t seed = 0;
    const auto* end = argv[i] + std::strlen(argv[i]);
    if (std::from_chars(argv[i], end, seed).ptr != end) {
      std::cerr << "play_week SEED...: '" << argv[i] << "' is no number\n";
      return 2;
    }
    const auto plan = plan_of(seed);
    const auto played = play(plan, seed);
    const auto verdict = judge(plan, played);
    print(seed, plan, played, verdict);
    well = well && is_well(played, verdict);
  }
  return argc == 1 ? 2 : well ? 0 : 1;
}
