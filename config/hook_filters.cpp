// What every [[hook]] has: whom it is told of, and when.
#include <algorithm>
#include <bitset>

#include "config/hook_parts.h"
#include "probes/model/ascii.h"

namespace frisket::config {
namespace {

constexpr int kMinutesOfDay = 24 * 60;
constexpr std::array<std::string_view, 7> kDays = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
constexpr std::string_view kQuietForm = "two times of day such as \"22:00-06:30\", not the same";

// "06:30", "24:00"; nothing for anything else.
std::optional<int> minute_of_day(std::string_view text) {
  const auto digit = [&](std::size_t at) { return text[at] - '0'; };
  if (text.size() != 5 || text[2] != ':') return std::nullopt;
  for (const std::size_t at : {0U, 1U, 3U, 4U})
    if (text[at] < '0' || text[at] > '9') return std::nullopt;
  const int hour = digit(0) * 10 + digit(1);
  const int minute = digit(3) * 10 + digit(4);
  if (hour > 24 || minute > 59 || (hour == 24 && minute > 0)) return std::nullopt;
  return hour * 60 + minute;
}

std::optional<QuietHours> quiet_hours(std::string_view text) {
  const auto dash = text.find('-');
  if (dash == text.npos) return std::nullopt;
  const auto from = minute_of_day(text.substr(0, dash));
  const auto to = minute_of_day(text.substr(dash + 1));
  if (!from || !to || *from == *to || *from == kMinutesOfDay) return std::nullopt;
  return QuietHours{std::chrono::minutes{*from}, std::chrono::minutes{*to}};
}

bool leave_no_minute(const std::vector<QuietHours>& quiet) {
  std::bitset<kMinutesOfDay> covered;
  for (const auto& hours : quiet) {
    const auto from = static_cast<int>(hours.from.count());
    const auto to = static_cast<int>(hours.to.count());
    const int length = to > from ? to - from : to + kMinutesOfDay - from;
    for (int i = 0; i < length; ++i) covered.set(static_cast<std::size_t>((from + i) % kMinutesOfDay));
  }
  return covered.all();
}

void read_quiet(Reading& reading, Section& section, Hook& hook) {
  for (const auto& entry : section.list("quiet")) {
    if (const auto hours = quiet_hours(entry.text))
      hook.quiet.push_back(*hours);
    else
      reading.findings.error(entry.place,
                             "hook.quiet: found " + in_quotes(entry.text) + ", allowed: " + std::string(kQuietForm));
  }
  if (leave_no_minute(hook.quiet)) section.error("quiet", "covers the whole day: the hook would never be told");
  for (const auto& entry : section.list("quiet_days")) {
    const auto day = std::ranges::find(kDays, entry.text);
    if (day == kDays.end())
      reading.findings.error(entry.place,
                             "hook.quiet_days: found " + in_quotes(entry.text) + ", allowed: " + any_of(kDays));
    else
      hook.quiet_days[static_cast<std::size_t>(day - kDays.begin())] = true;
  }
  hook.quiet_lets_through =
      model::severity_from(section.text("quiet_lets_through")).value_or(model::Severity::critical);
}

void read_trainings(Reading& reading, Section& section, Hook& hook) {
  constexpr std::array<std::string_view, 3> kTrainings = {"untrained", "trained", "field-service"};
  for (const auto& entry : section.list("training")) {
    if (const auto training = model::training_from(entry.text))
      hook.trainings.push_back(*training);
    else
      reading.findings.error(entry.place,
                             "hook.training: found " + in_quotes(entry.text) + ", allowed: " + any_of(kTrainings));
  }
}

Seconds seconds(Section& section, std::string_view key) {
  return std::chrono::duration_cast<Seconds>(section.duration(key));
}

}  // namespace

std::vector<std::string> texts(std::vector<Entry> entries) {
  std::vector<std::string> list;
  for (auto& entry : entries) list.push_back(std::move(entry.text));
  return list;
}

void read_hook_filters(Reading& reading, Section& section, Hook& hook) {
  hook.kinds = texts(section.list("kinds"));
  hook.severity = model::severity_from(section.text("severity"));
  for (auto& [name, place] : section.list("sites"))
    if (reading.sites.check("hook.sites", name, place, reading.findings)) hook.sites.push_back(std::move(name));
  for (auto& [name, place] : section.list("devices"))
    if (reading.devices.check("hook.devices", name, place, reading.findings)) hook.devices.push_back(std::move(name));
  read_trainings(reading, section, hook);
  for (auto& entry : section.list("colorants")) hook.colorants.push_back(model::in_lower_case(entry.text));
  hook.min_duration = seconds(section, "min_duration");
  read_quiet(reading, section, hook);
  hook.digest = seconds(section, "digest");
  hook.remind_every = seconds(section, "remind_every");
  hook.escalate_after = seconds(section, "escalate_after");
  hook.tell_cleared = section.flag("tell_cleared");
  hook.give_up_after = seconds(section, "give_up_after");
  hook.time_limit = seconds(section, "time_limit");
  hook.parallel = static_cast<int>(section.integer("parallel"));
}

}  // namespace frisket::config
