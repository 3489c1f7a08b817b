#include "daemon/upkeep/consumption.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "daemon/upkeep/median.h"
#include "daemon/upkeep/robust_line.h"

namespace frisket::upkeep {
namespace {

constexpr std::size_t kMostPoints = 60;  // of a line: 1770 pairs
constexpr double kBlock = 10;            // percent
// Defaults from simulated fleets of the tuning seeds (docs/upkeep.md); a device's own past replaces them.
constexpr double kBlockVariance = 0.20 * 0.20;
constexpr double kBetweenVariance = 0.10 * 0.10;

struct Observed {
  double log_rate = 0;
  double variance = 0;
};

std::vector<Point> points_of(const Segment& segment) {
  std::vector<Point> points;
  const std::size_t stride = segment.falls.size() / kMostPoints + 1;
  // From the latest fall backwards, so that the present end is always kept.
  for (std::size_t i = segment.falls.size(); i > 0; i = i > stride ? i - stride : 0) {
    const Fall& fall = segment.falls[i - 1];
    points.push_back({fall.impressions, fall.percent});
  }
  std::reverse(points.begin(), points.end());
  return points;
}

using Lines = std::vector<std::optional<RobustLine>>;  // of each segment; nothing where it has too few falls

Lines lines_of(const LevelSeries& series) {
  Lines lines;
  lines.reserve(series.segments.size());
  for (const Segment& segment : series.segments)
    lines.push_back(segment.falls.size() < 4 ? std::nullopt : theil_sen(points_of(segment), 0));
  return lines;
}

// Where falls were seen from one end to the other.
std::optional<Observed> observe(const Segment& segment, const std::optional<RobustLine>& line, double step,
                                double block_variance) {
  if (segment.falls.size() < 2) return std::nullopt;
  const double drop = segment.falls.front().percent - segment.falls.back().percent;
  const double run = segment.falls.back().impressions - segment.falls.front().impressions;
  if (drop <= 0 || run <= 0) return std::nullopt;
  double rate = drop / run;
  if (segment.falls.size() >= 5 && line && line->slope < 0) rate = -line->slope;
  // Increments add up like a random walk; the ends are sharp to a fraction of a step.
  const double blur = 0.3 * step / drop;
  return Observed{std::log(rate), block_variance * kBlock / drop * 1.2 + blur * blur};
}

// Relative scatter of the impressions that ten percent lasted, about each cartridge's own mean.
double scatter_of_blocks(const LevelSeries& series) {
  double squares = 0;
  double freedom = 0;
  for (const Segment& segment : series.segments) {
    std::vector<double> blocks;
    const Fall* from = segment.falls.empty() ? nullptr : &segment.falls.front();
    for (const Fall& fall : segment.falls) {
      const double drop = from->percent - fall.percent;
      if (drop < kBlock - 1e-9) continue;
      if (drop < 2 * kBlock) blocks.push_back((fall.impressions - from->impressions) * kBlock / drop);
      from = &fall;
    }
    if (blocks.size() < 2) continue;
    double mean = 0;
    for (const double block : blocks) mean += block / static_cast<double>(blocks.size());
    if (mean <= 0) continue;
    for (const double block : blocks) squares += std::min(4.0, std::pow(block / mean - 1, 2));
    freedom += static_cast<double>(blocks.size() - 1);
  }
  constexpr double kDefaultWeight = 6;
  return (squares + kDefaultWeight * kBlockVariance) / (freedom + kDefaultWeight);
}

double between_cartridges(const std::vector<Observed>& observed) {
  double squares = 0;
  for (std::size_t i = 1; i < observed.size(); ++i) {
    const double difference = observed[i].log_rate - observed[i - 1].log_rate;
    squares += std::clamp(difference * difference - observed[i].variance - observed[i - 1].variance, 0.0, 0.5);
  }
  constexpr double kDefaultWeight = 4;
  const double freedom = observed.empty() ? 0 : static_cast<double>(observed.size() - 1);
  return (squares + kDefaultWeight * kBetweenVariance) / (freedom + kDefaultWeight);
}

// A cartridge put in full fell to each step at a count that tells how the device rounds.
void find_edge(const LevelSeries& series, const Lines& lines, Consumption& result) {
  std::vector<double> edges;
  double variance = 0;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const Segment& segment = series.segments[i];
    if (segment.begin != Segment::Begin::replaced || segment.start_percent < 99.9) continue;
    const auto& line = lines[i];
    if (!line || line->slope >= 0) continue;
    // On the line through the falls, the count at which it was put in reads 100 - edge * step.
    const double at_start = line->intercept + line->slope * segment.start_impressions;
    edges.push_back((100 - at_start) / series.step);
    variance += result.block_variance * kBlock / series.step * 0.25;
  }
  if (edges.empty()) return;
  const auto count = static_cast<double>(edges.size());
  const double edge = median(edges);
  variance = variance / count / count + 0.01;
  // Makers round down, up, or to the nearest.
  constexpr std::array<double, 3> kCandidates{0, 0.5, 1};
  std::array<double, 3> weights{};
  double sum = 0;
  for (std::size_t i = 0; i < 3; ++i) {
    weights[i] = std::exp(-0.5 * std::pow(edge - kCandidates[i], 2) / variance) + 1e-6;
    sum += weights[i];
  }
  result.edge = 0;
  for (std::size_t i = 0; i < 3; ++i) result.edge += weights[i] / sum * kCandidates[i];
  result.edge_variance = 0;
  for (std::size_t i = 0; i < 3; ++i) {
    result.edge_variance += weights[i] / sum * std::pow(kCandidates[i] - result.edge, 2);
  }
}

}  // namespace

std::optional<Consumption> consumption_of(const LevelSeries& series, const std::optional<PartPrior>& prior,
                                          double least) {
  Consumption result;
  result.block_variance = scatter_of_blocks(series);
  std::vector<Observed> observed;
  bool present_observed = false;
  const Lines lines = lines_of(series);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const Segment& segment = series.segments[i];
    const auto one = observe(segment, lines[i], series.step, result.block_variance);
    present_observed = one.has_value();
    if (!one) continue;
    result.seen += segment.falls.front().percent - segment.falls.back().percent;
    observed.push_back(*one);
  }
  const bool enough = result.seen >= std::max(least, series.step * 0.99);
  if (!enough && !prior) return std::nullopt;

  const double between = between_cartridges(observed);
  double state = 0;
  double doubt = 0;
  double prior_share = 0;
  bool started = false;
  if (prior) {
    state = prior->log_rate;
    doubt = prior->deviation * prior->deviation + between;
    prior_share = 1;
    started = true;
  }
  for (std::size_t i = 0; i < observed.size(); ++i) {
    if (!started) {
      state = observed[i].log_rate;
      doubt = observed[i].variance;
      started = true;
    } else {
      const double gain = doubt / (doubt + observed[i].variance);
      state += gain * (observed[i].log_rate - state);
      doubt *= 1 - gain;
      prior_share *= 1 - gain;
    }
    if (i + 1 < observed.size() || !present_observed) doubt += between;
  }
  if (!started) return std::nullopt;
  result.per_impression = std::exp(state);
  result.log_variance = doubt;
  result.from_part = prior_share > 0.5;
  find_edge(series, lines, result);
  return result;
}

std::optional<PartPrior> part_prior(std::span<const Consumption> of_devices) {
  if (of_devices.size() < 3) return std::nullopt;
  std::vector<double> rates;
  for (const Consumption& device : of_devices) rates.push_back(std::log(device.per_impression));
  PartPrior prior;
  prior.devices = static_cast<int>(rates.size());
  prior.log_rate = median(rates);
  double squares = 0;
  for (const double rate : rates) squares += std::min(4.0, std::pow(rate - prior.log_rate, 2));
  // A handful of devices say little of how devices differ: two more at half the rate or twice it.
  constexpr double kDefault = 0.3 * 0.3;
  prior.deviation = std::sqrt((squares + 2 * kDefault) / static_cast<double>(prior.devices + 1));
  return prior;
}

}  // namespace frisket::upkeep
