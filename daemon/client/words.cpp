#include "daemon/client/words.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <tuple>

namespace frisket::client {
namespace {

constexpr std::size_t kBarPlaces = 10;

// A per cent number without noise, whatever the answer held.
std::string per_cent_words(double percent) {
  const double sane = std::clamp(percent, 0.0, 100.0);
  if (sane > 0.0 && sane < 1.0) return "under 1 per cent";
  return std::to_string(std::lround(sane)) + " per cent";
}

std::string plain_double(double number) {
  std::array<char, 32> out{};
  const auto [end, error] = std::to_chars(out.data(), out.data() + out.size(), number);
  return error == std::errc{} ? std::string(out.data(), end) : std::string();
}

std::string whole_days(double days) { return plain_double(std::round(std::clamp(days, 0.0, 100000.0))); }

// "250 of 500 sheets", "250 sheets"; nothing where the amount is not said.
std::string amount_words(const Tray& tray) {
  if (!tray.remaining) return "";
  std::string words = std::to_string(*tray.remaining);
  if (tray.capacity) words += " of " + std::to_string(*tray.capacity);
  return tray.unit.empty() ? words : words + ' ' + tray.unit;
}

std::string vague_words(const std::string& level, std::string_view some) {
  if (level == "some") return std::string(some);
  if (level == "unlimited") return "no limit";
  return "not known";
}

}  // namespace

Tone tone_of(Severity severity) {
  switch (severity) {
    case Severity::critical:
      return Tone::critical;
    case Severity::major:
      return Tone::major;
    case Severity::minor:
      return Tone::minor;
    case Severity::warning:
      return Tone::warning;
  }
  return Tone::plain;
}

Tone tone_of_state(std::string_view device_state) {
  if (device_state == "stopped") return Tone::critical;
  if (device_state == "silent") return Tone::major;
  if (device_state == "attention") return Tone::minor;
  return Tone::plain;
}

std::string bar(std::optional<double> percent) {
  if (!percent) return std::string(kBarPlaces + 2, ' ');
  const double sane = std::clamp(*percent, 0.0, 100.0);
  auto filled = static_cast<std::size_t>(std::lround(sane / 100.0 * static_cast<double>(kBarPlaces)));
  if (sane > 0.0) filled = std::max<std::size_t>(filled, 1);
  return '[' + std::string(filled, '#') + std::string(kBarPlaces - filled, '.') + ']';
}

std::string level_words(const Supply& supply) {
  const bool receptacle = supply.supply_class == "filled";
  std::string words;
  if (!supply.percent) {
    words = vague_words(supply.level, receptacle ? "some room left" : "some left");
  } else if (*supply.percent <= 0.0) {
    words = receptacle ? "full" : "none";
  } else {
    words = (receptacle ? "room for " : "") + per_cent_words(*supply.percent);
  }
  return supply.low.value_or(false) ? words + ", low" : words;
}

std::string input_words(const Tray& tray) {
  if (tray.empty.value_or(false)) return "empty";
  const std::string amount = amount_words(tray);
  if (!amount.empty()) return amount;
  return tray.percent ? per_cent_words(*tray.percent) : vague_words(tray.level, "some left");
}

std::string output_words(const Tray& tray) {
  if (tray.full.value_or(false)) return "full";
  const std::string amount = amount_words(tray);
  if (!amount.empty()) return "room for " + amount;
  return tray.percent ? "room for " + per_cent_words(*tray.percent) : vague_words(tray.level, "some room left");
}

std::string supply_name(const Supply& supply) {
  if (!supply.description.empty()) return supply.description;
  std::string name = supply.colorant;
  if (!supply.type.empty()) name += (name.empty() ? "" : " ") + supply.type;
  return name.empty() ? "supply" : name;
}

std::string days_words(const Supply& supply) {
  const DaysLeft days = supply.days_left.value_or(DaysLeft{});
  if (!days.p50) {
    if (days.p10) return whole_days(*days.p10) + " days or more";
    return supply.days_left_why.empty() ? "" : "no date: " + supply.days_left_why;
  }
  std::string words = whole_days(*days.p50) + " days";
  if (days.p10 && days.p90) words += " (" + whole_days(*days.p10) + " to " + whole_days(*days.p90) + ")";
  if (days.p10 && !days.p90) words += " (" + whole_days(*days.p10) + " or more)";
  return words;
}

std::string where_words(const Incident& incident) {
  std::string where = !incident.device.empty() ? incident.device : incident.queue;
  if (!incident.place.empty()) where += (where.empty() ? "" : ", ") + incident.place;
  if (!incident.location.empty()) where += (where.empty() ? "" : ", ") + incident.location;
  if (!incident.site.empty()) where += where.empty() ? "site " + incident.site : " (" + incident.site + ")";
  return where;
}

void worst_first(std::vector<Incident>& incidents) {
  const auto order = [](const Incident& incident) {
    const WallTime since = incident.raised_at.value_or(WallTime::max());
    return std::make_tuple(-static_cast<int>(incident.severity), since, incident.id);
  };
  std::ranges::stable_sort(incidents, {}, order);
}

std::string incident_blocks(const std::vector<Incident>& incidents, const Screen& screen) {
  std::string out;
  for (const Incident& each : incidents) {
    if (!out.empty()) out += '\n';
    const std::string_view severity = model::to_text(each.severity);
    out += paragraph(fitted(severity, 10), where_words(each), screen, tone_of(each.severity));
    out += paragraph(std::string(10, ' '), each.summary, screen);
    std::string since;
    if (each.raised_at) since = "since " + since_words(*each.raised_at, screen.now, screen.zone) + "; ";
    out += paragraph(std::string(10, ' '), since + "incident " + each.id, screen);
  }
  return out;
}

std::string part_words(const CarriedPart& part) {
  std::string words = std::to_string(part.count) + " x " + part.part;
  if (!part.colorant.empty()) words += ", " + part.colorant;
  if (!part.maker.empty()) words += " (" + part.maker + ")";
  return words;
}

std::string plain(std::optional<double> number) { return number ? plain_double(*number) : std::string(); }

std::string plain(std::optional<std::int64_t> number) { return number ? std::to_string(*number) : std::string(); }

std::string plain(std::optional<bool> flag) {
  if (!flag) return "";
  return *flag ? "true" : "false";
}

std::string plain(std::optional<WallTime> instant) { return instant ? model::to_rfc3339(*instant) : std::string(); }

std::string counted_words(std::int64_t count, std::string_view one, std::string_view many) {
  return std::to_string(count) + ' ' + std::string(count == 1 ? one : many);
}

std::string title(std::string_view text, const Screen& screen) {
  return '\n' + toned(text, Tone::heading, screen.colour) + '\n';
}

std::string labelled(std::string_view label, std::string_view value, const Screen& screen) {
  if (value.empty()) return "";
  return paragraph(fitted("  " + std::string(label), 13), value, screen);
}

std::string joined(const std::vector<std::string>& parts, std::string_view separator) {
  std::string out;
  for (const std::string& part : parts) {
    if (part.empty()) continue;
    if (!out.empty()) out += separator;
    out += part;
  }
  return out;
}

std::string paragraph(std::string_view lead, std::string_view text, const Screen& screen, Tone tone) {
  constexpr std::size_t kLeastText = 12;
  const std::size_t indent = columns(lead);
  const bool narrow = indent + kLeastText > screen.width;  // then the text goes below its lead
  std::string out = toned(lead, tone, screen.colour);
  if (narrow && lead.find_first_not_of(' ') != std::string_view::npos) out += '\n';
  if (narrow && lead.find_first_not_of(' ') == std::string_view::npos) out.clear();
  bool first = !narrow;
  for (const std::string& line : wrapped(text, narrow ? screen.width : screen.width - indent)) {
    if (!first && !narrow) out.append(indent, ' ');
    out += line + '\n';
    first = false;
  }
  return out;
}

}  // namespace frisket::client
