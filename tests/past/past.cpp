#include "tests/past/past.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace frisket::past {
namespace {

using namespace std::chrono_literals;
using model::WallTime;

constexpr int kFirstHour = 8;
constexpr int kHours = 10;

struct Hour {
  WallTime at;
  double impressions = 0;
};

// 0 Sunday to 6 Saturday
unsigned weekday_of(std::chrono::sys_days day) { return std::chrono::weekday{day}.c_encoding(); }

bool is_quiet(std::chrono::sys_days day) {
  const std::chrono::year_month_day date{day};
  return date.month() == std::chrono::December && static_cast<unsigned>(date.day()) >= 24;
}

std::vector<Hour> hours_of(const Device& device, WallTime now, int days, std::mt19937_64& random) {
  constexpr std::array kWeek = {0.0, 1.0, 1.1, 1.05, 1.0, 0.7, 0.0};  // Sunday first
  std::gamma_distribution<double> busy(4, 0.25);                      // mean 1: some days are twice as busy
  std::vector<Hour> hours;
  const auto today = std::chrono::floor<std::chrono::days>(now);
  for (int back = days; back >= 0; --back) {
    const auto day = today - std::chrono::days{back};
    const auto wanted = device.a_day * kWeek.at(weekday_of(day)) * (is_quiet(day) ? 0.05 : 1) * busy(random);
    for (int hour = 0; hour < kHours && wanted >= 1; ++hour) {
      const WallTime at = day + std::chrono::hours{kFirstHour + hour};
      if (at > now) break;
      hours.push_back({at, wanted / kHours});
    }
  }
  return hours;
}

// What the level must have been so many impressions ago, given what it is now. Of a receptacle it is the room left,
// which goes the same way (RFC 3805).
double percent_before(const Supply& supply, double impressions_ago) {
  const double used = impressions_ago / supply.lasts * 100;
  return std::fmod(supply.percent + used, 100.0);
}

// Three jams of five are where the device jams most.
std::string place_of_jam(const Device& device, std::size_t number) {
  if (device.jam_places.empty()) return {};
  const auto turn = number % 5;
  return device.jam_places[turn < 3 ? 0 : (turn - 2) % device.jam_places.size()];
}

incidents::Incident jam_of(const Device& device, std::size_t number, WallTime at, std::chrono::minutes lasted) {
  incidents::Incident jam;
  jam.kind = "media-jam";
  jam.device = device.name;
  jam.site = device.site;
  jam.severity = model::Severity::critical;
  jam.state = incidents::Incident::State::cleared;
  jam.training = model::Training::untrained;
  jam.raised_at = at;
  jam.changed_at = at + lasted;
  jam.cleared_at = at + lasted;
  jam.place = place_of_jam(device, number);
  jam.summary = "Paper is jammed";
  jam.proof = incidents::Proof::held;
  return jam;
}

}  // namespace

Past past_of(const Device& device, WallTime now, int days, std::mt19937_64& random) {
  auto hours = hours_of(device, now, days, random);
  double total = 0;
  for (const auto& hour : hours) total += hour.impressions;
  // No more than the counter has, with something left from before.
  const double most = device.impressions * 0.9;
  const double scale = total > most ? most / total : 1;
  total *= scale;
  Past past;
  if (hours.empty()) return past;
  const auto begin = hours.front().at;
  past.changes.push_back({begin, upkeep::SerialStated{device.serial}});
  for (const auto& supply : device.supplies) past.changes.push_back({begin, supply.stated});
  std::vector<std::int32_t> said(device.supplies.size(), -1);
  std::bernoulli_distribution jams(0);
  std::uniform_int_distribution<int> minutes(3, 90);
  double printed = 0;
  auto restate_at = begin + 24h * 28;
  for (const auto& hour : hours) {
    printed += hour.impressions * scale;
    const double ago = total - printed;
    const auto counted = device.impressions - static_cast<std::uint32_t>(std::lround(ago));
    past.changes.emplace_back(hour.at, upkeep::CountChange{counted, false});
    const bool restate = hour.at >= restate_at;
    if (restate) restate_at += 24h * 28;
    for (std::size_t i = 0; i < device.supplies.size(); ++i) {
      const auto& supply = device.supplies[i];
      const auto level = static_cast<std::int32_t>(std::lround(percent_before(supply, ago) / 100 * supply.capacity));
      if (restate) past.changes.push_back({hour.at, supply.stated});
      if (level != said[i] || restate)
        past.changes.push_back(
            {hour.at, upkeep::LevelChange{supply.stated.supply, model::Amount{level}, model::Amount{supply.capacity}}});
      said[i] = level;
    }
    const double chance = std::min(1.0, hour.impressions * scale * device.jams_per_sheet);
    if (jams(random, std::bernoulli_distribution::param_type(chance)))
      past.jams.push_back(jam_of(device, past.jams.size(), hour.at, std::chrono::minutes{minutes(random)}));
  }
  return past;
}

std::vector<upkeep::ServiceDone> services_of(const Device& device, upkeep::Marking marking, model::WallTime now,
                                             int days, std::mt19937_64& random) {
  std::vector<upkeep::ServiceDone> done;
  std::uniform_real_distribution<double> when(0.7, 1.5);
  for (const auto& task : upkeep::default_tasks(marking)) {
    double interval = task.every_days.value_or(10'000);
    if (task.every_impressions) interval = std::min(interval, *task.every_impressions / (device.a_day * 5 / 7));
    const auto a_while = [&] { return std::chrono::minutes{std::lround(interval * when(random) * 24 * 60)}; };
    for (auto at = now - std::chrono::days{days} + a_while(); at < now; at += a_while())
      done.push_back({device.name, task.key, std::chrono::floor<std::chrono::days>(at) + 10h, "robin", ""});
  }
  return done;
}

}  // namespace frisket::past
