#include "daemon/incidents/history.h"

#include <algorithm>
#include <optional>

#include "daemon/incidents/causes.h"
#include "daemon/incidents/kinds.h"
#include "daemon/incidents/place.h"

namespace frisket::incidents {
namespace {

using model::DeviceSnapshot;

constexpr std::string_view kMisload = "tray-misload";
constexpr std::string_view kRecurring = "jam-recurring";
constexpr std::string_view kAnyJam = "jam";  // key of the last jam's end, wherever it was
constexpr std::size_t kMostJams = 64;        // remembered for one place

std::string home_text(const Condition& condition) {
  return condition_key(family_of(condition.keyword), condition.subunit);
}

bool holds(const std::vector<Condition>& conditions, const Condition& wanted) {
  return std::ranges::any_of(conditions, [&](const Condition& condition) {
    return condition.subunit == wanted.subunit && family_of(condition.keyword) == family_of(wanted.keyword) &&
           stands_open(condition) == stands_open(wanted);
  });
}

const Condition* jam_in(const std::vector<Condition>& conditions) {
  const Condition* best = nullptr;
  for (const auto& condition : conditions)
    if (is_jam(condition) && (best == nullptr || (best->subunit.index == 0 && condition.subunit.index > 0)))
      best = &condition;
  return best;
}

std::string minutes_text(std::chrono::milliseconds time) {
  const auto minutes = std::chrono::duration_cast<std::chrono::minutes>(time).count();
  return minutes == 0 ? "less than a minute" : std::to_string(minutes) + " min";
}

// What one rule looks at.
struct Course {
  const std::vector<Condition>& now;
  const DeviceSnapshot& snapshot;
  const config::Rules& rules;
  const DeviceMemory& before;
  WallTime at;
  DeviceMemory& after;
};

Condition condition_at(const Course& course, std::string_view keyword, const Subunit& subunit, std::string says) {
  auto condition = condition_of(keyword, course.at, {Witness::Source::history, std::move(says)});
  condition.subunit = subunit;
  condition.place = place_of(subunit, course.snapshot);
  return condition;
}

// A new jam is one that begins where there was none, and after a page came through: a sheet that was
// not found the first time is the same jam.
void note_jams(Course& course) {
  const auto* jam = jam_in(course.now);
  const auto* earlier = jam_in(course.before.conditions);
  if (jam == nullptr && earlier != nullptr)
    course.after.ended[std::string(kAnyJam)] = {course.at, course.snapshot.impressions()};
  if (jam == nullptr || earlier != nullptr) return;
  const auto ended = course.before.ended.find(std::string(kAnyJam));
  const auto impressions = course.snapshot.impressions();
  if (ended != course.before.ended.end() && impressions && ended->second.impressions == impressions) return;
  auto& times = course.after.jams[home_text(*jam)];
  times.push_back(course.at);
  if (times.size() > kMostJams) times.erase(times.begin());
}

void forget_old_jams(Course& course) {
  for (auto entry = course.after.jams.begin(); entry != course.after.jams.end();) {
    std::erase_if(entry->second, [&](WallTime began) { return course.at - began >= course.rules.jam_within; });
    entry = entry->second.empty() ? course.after.jams.erase(entry) : std::next(entry);
  }
}

std::optional<Subunit> subunit_in(std::string_view home) {
  return model::subunit_from(home.substr(std::min(home.find('@') + 1, home.size())));
}

void find_recurring_jams(Course& course, std::vector<Condition>& found) {
  for (const auto& [home, times] : course.after.jams) {
    const auto subunit = subunit_in(home);
    if (!subunit || std::ssize(times) < course.rules.jam_repeats) continue;
    auto says = std::to_string(times.size()) + " jams there, the first of them " +
                minutes_text(course.at - times.front()) + " ago";
    found.push_back(condition_at(course, kRecurring, *subunit, std::move(says)));
  }
}

// What was open and is no longer. While somebody clears a jam or changes a supply, opening and closing is
// the work itself.
void note_closed(Course& course) {
  const bool work = jam_in(course.before.conditions) != nullptr || jam_in(course.now) != nullptr ||
                    is_at_work(course.before, course.rules, course.at);
  for (const auto& earlier : course.before.conditions)
    if (stands_open(earlier) && !holds(course.now, earlier) && !work)
      course.after.ended[home_text(earlier)] = {course.at, course.snapshot.impressions()};
  std::erase_if(course.after.ended, [&](const auto& entry) {
    return entry.first != kAnyJam && course.at - entry.second.at > course.rules.misload_within;
  });
}

// Why this tray or cover is taken for one that cannot close; nothing if it is not.
std::optional<std::string> misload_reason(const Course& course, const Condition& open) {
  for (const auto& earlier : course.before.conditions)
    if (earlier.keyword == kMisload && earlier.subunit == open.subunit) return earlier.witnesses.front().says;
  if (is_at_work(course.after, course.rules, course.at)) return std::nullopt;
  if (course.at - open.since >= course.rules.misload_after)
    return "open for more than " + minutes_text(course.rules.misload_after);
  const bool fresh = !holds(course.before.conditions, open);
  const auto closed = course.before.ended.find(home_text(open));
  if (!fresh || closed == course.before.ended.end()) return std::nullopt;
  if (course.at - closed->second.at > course.rules.misload_within) return std::nullopt;
  return "open again " + minutes_text(course.at - closed->second.at) + " after it was closed";
}

void find_misloads(Course& course, std::vector<Condition>& found) {
  if (jam_in(course.now) != nullptr) return;
  for (const auto& condition : course.now) {
    // A cover and its interlock are one thing that does not close.
    const auto same_place = [&](const Condition& other) {
      return other.keyword == kMisload && other.subunit == condition.subunit;
    };
    if (!stands_open(condition) || std::ranges::any_of(found, same_place)) continue;
    auto reason = misload_reason(course, condition);
    if (!reason) continue;
    auto misload = condition_at(course, kMisload, condition.subunit, std::move(*reason));
    misload.severity = condition.severity;
    misload.device_text = condition.device_text;
    found.push_back(std::move(misload));
  }
}

}  // namespace

bool is_at_work(const DeviceMemory& memory, const config::Rules& rules, WallTime at) {
  return memory.at_work && at - *memory.at_work <= rules.cover_grace;
}

bool stands_open(const Condition& condition) {
  return kind_of(condition.keyword).family == "cover" || condition.keyword == "input-tray-missing";
}

bool is_jam(const Condition& condition) {
  return kind_of(condition.keyword).family == "jam" && condition.keyword != kRecurring;
}

std::vector<Condition> conditions_of_history(const std::vector<Condition>& now, const DeviceSnapshot& snapshot,
                                             const config::Rules& rules, const DeviceMemory& before, WallTime at,
                                             DeviceMemory& after) {
  after.jams = before.jams;
  after.ended = before.ended;
  after.at_work = before.at_work;
  // Who replaces a supply opens covers to do it.
  const auto being_replaced = [](const Condition& condition) {
    const auto& kind = kind_of(condition.keyword);
    return kind.family == "supply" && kind.stops;
  };
  if (std::ranges::any_of(now, being_replaced)) after.at_work = at;

  Course course{now, snapshot, rules, before, at, after};
  std::vector<Condition> found;
  note_jams(course);
  forget_old_jams(course);
  find_recurring_jams(course, found);
  note_closed(course);
  find_misloads(course, found);
  return found;
}

bool waits_for_time(const DeviceMemory& memory) {
  return !memory.jams.empty() || !memory.replaced.empty() || !memory.unary_rows.empty() ||
         !memory.reach.interruptions.empty() || memory.reach.interface_errors_grew ||
         std::ranges::any_of(memory.conditions, stands_open);
}

}  // namespace frisket::incidents
