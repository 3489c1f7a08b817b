#include "naive.h"

#include <algorithm>
#include <vector>

#include "daemon/upkeep/robust_line.h"

namespace bench {

std::optional<double> naive_days_left(const frisket::upkeep::SupplyHistory& history, frisket::model::WallTime now) {
  using std::chrono::hours;
  std::vector<frisket::upkeep::Point> points;
  const auto& samples = history.samples;
  double later = -1;
  for (int day = 0; day <= 30; ++day) {
    const auto at = now - hours{24 * day};
    const auto after = std::upper_bound(samples.begin(), samples.end(), at,
                                        [](auto instant, const auto& sample) { return instant < sample.at; });
    if (after == samples.begin()) break;
    const auto level = frisket::model::percent_of(std::prev(after)->level, std::prev(after)->capacity);
    if (!level) break;
    if (later >= 0 && *level < later - 5) break;  // it rose since: replaced
    later = *level;
    points.push_back({-static_cast<double>(day), *level});
  }
  if (points.size() < 3) return std::nullopt;
  const auto line = frisket::upkeep::least_squares(points);
  if (!line || line->slope >= 0) return std::nullopt;
  return std::max(0.0, -line->intercept / line->slope);
}

}  // namespace bench
