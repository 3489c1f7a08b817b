#include "daemon/upkeep/weeks.h"

#include <algorithm>
#include <map>
#include <optional>

namespace frisket::upkeep {
namespace {

using namespace std::chrono_literals;
using model::WallTime;

constexpr auto kGrain = 1h;
constexpr auto kBlip = 6h;

bool is_count(const Change& change) { return std::holds_alternative<CountChange>(change.what); }

// What stands at some point of the week. Tells of each next change whether it says anything new.
class Standing {
 public:
  bool news(const Change& change) {
    return std::visit([this](const auto& what) { return takes(what); }, change.what);
  }

 private:
  bool takes(const CountChange&) { return true; }
  bool takes(const LevelChange& level) { return replace(levels_[level.supply], level); }
  bool takes(const SupplyStated& supply) {
    const bool another = replace(supplies_[supply.supply], supply);
    if (another) levels_.erase(supply.supply);  // the same level of another supply is news
    return another;
  }
  bool takes(const SerialStated& serial) { return replace(serial_, serial); }
  bool takes(const Lost&) { return replace(lost_, true); }
  bool takes(const Heard&) { return replace(lost_, false); }

  template <class T>
  static bool replace(std::optional<T>& standing, const T& now) {
    if (standing == now) return false;
    standing = now;
    return true;
  }

  std::map<std::int32_t, std::optional<LevelChange>> levels_;
  std::map<std::int32_t, std::optional<SupplyStated>> supplies_;
  std::optional<SerialStated> serial_;
  std::optional<bool> lost_;
};

void drop_restated(Changes& week) {
  Standing standing;
  std::erase_if(week, [&](const Change& change) { return !standing.news(change); });
}

// Which of the counts stay: see thin(). A dropped one marks the next that stays.
void thin_counts(Changes& week) {
  std::map<WallTime, bool> accompanied;
  for (const auto& change : week) accompanied[change.at] |= !is_count(change);
  std::vector<std::size_t> counts;
  for (std::size_t i = 0; i < week.size(); ++i)
    if (is_count(week[i])) counts.push_back(i);

  std::vector<bool> drop(week.size());
  std::optional<WallTime> kept;
  bool dropped = false;
  for (std::size_t n = 0; n < counts.size(); ++n) {
    auto& change = week[counts[n]];
    const bool last = n + 1 == counts.size();
    const bool after_idle = n == 0 || change.at - week[counts[n - 1]].at > kGrain;
    const bool next_is_far = !last && kept && week[counts[n + 1]].at - *kept > kGrain;
    if (last || after_idle || next_is_far || accompanied.at(change.at)) {
      if (dropped) std::get<CountChange>(change.what).thinned = true;
      kept = change.at;
      dropped = false;
    } else {
      drop[counts[n]] = dropped = true;
    }
  }
  std::size_t at = 0;
  std::erase_if(week, [&](const Change&) { return drop[at++]; });
}

// A gauge that went to another level and back again.
void thin_levels(Changes& week) {
  struct Seen {
    std::size_t place = 0;
    LevelChange level;
  };
  std::map<std::int32_t, std::vector<Seen>> kept;
  std::vector<bool> drop(week.size());
  for (std::size_t i = 0; i < week.size(); ++i) {
    const auto* level = std::get_if<LevelChange>(&week[i].what);
    if (level == nullptr) continue;
    auto& seen = kept[level->supply];
    const auto count = seen.size();
    if (count >= 2 && seen[count - 2].level == *level && week[i].at - week[seen.back().place].at <= kBlip) {
      drop[i] = drop[seen.back().place] = true;
      seen.pop_back();
    } else {
      seen.push_back({i, *level});
    }
  }
  std::size_t at = 0;
  std::erase_if(week, [&](const Change&) { return drop[at++]; });
}

}  // namespace

std::int64_t week_of(WallTime at) {
  const std::int64_t week = std::chrono::floor<std::chrono::weeks>(at.time_since_epoch()).count();
  return std::clamp(week, kFirstWeek, kLastWeek);
}

WallTime start_of_week(std::int64_t week) { return WallTime{std::chrono::weeks(week)}; }

void merge_into(Changes& week, Changes more) {
  week.insert(week.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
  std::ranges::stable_sort(week, {}, &Change::at);
  drop_restated(week);
}

void thin(Changes& week) {
  thin_levels(week);
  thin_counts(week);
}

}  // namespace frisket::upkeep
