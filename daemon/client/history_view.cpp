// A device's past: levels and impressions over time, where nobody looked, what was wrong.
#include <algorithm>
#include <map>

#include "daemon/client/table.h"
#include "daemon/client/upkeep_views.h"
#include "daemon/client/upkeep_words.h"
#include "daemon/client/view_parts.h"
#include "daemon/client/words.h"

namespace frisket::client {
namespace {

constexpr std::size_t kWhole = Column::kWhole;

std::string when_words(WallTime at, const std::string& resolution, const Screen& screen) {
  const bool by_day = resolution == "day" || resolution == "week";
  return by_day ? local_date(at, screen.zone) : local_moment_with_seconds(at, screen.now, screen.zone);
}

std::string value_words(const Series& series, std::optional<double> value) {
  if (!value) return "not known";
  return series.unit == "percent" ? bar(value) + ' ' + plain(value) : plain(value);
}

// Each instant at which any series has something is a row.
std::string points_table(const History& history, const Screen& screen) {
  std::vector<Column> header = {{"WHEN", kWhole}};
  std::map<WallTime, std::vector<std::string>> by_time;
  for (std::size_t i = 0; i < history.series.size(); ++i) {
    const Series& series = history.series[i];
    header.push_back({series.description.empty() ? series.name : series.description, kWhole, static_cast<int>(i)});
    for (const Point& point : series.points) {
      auto& row = by_time[point.at];
      row.resize(history.series.size());
      row[i] = value_words(series, point.value);
    }
  }
  Rows rows;
  for (const auto& [at, values] : by_time) {
    std::vector<Cell> row = {{when_words(at, history.resolution, screen)}};
    for (const std::string& value : values) row.push_back({value});
    rows.push_back(std::move(row));
  }
  if (rows.empty()) return paragraph("", "Nothing is known of that time.", screen);
  return fitted_table(header, rows, screen.width, screen.colour);
}

std::string between_words(const Span& span, const Screen& screen) {
  const auto words = [&](std::optional<WallTime> instant, const char* unknown) {
    return instant ? local_moment(*instant, screen.now, screen.zone) : std::string(unknown);
  };
  return words(span.from, "the beginning") + " to " + words(span.to, "now");
}

std::string incident_rows(const History& history, const Screen& screen) {
  Rows rows;
  for (const PastIncident& each : history.incidents) {
    const std::string severity(each.severity ? model::to_text(*each.severity) : "");
    rows.push_back({{severity, each.severity ? tone_of(*each.severity) : Tone::plain},
                    {each.kind},
                    {between_words({each.raised_at, each.cleared_at}, screen)},
                    {"incident " + each.id}});
  }
  return section("Incidents", {{"", kWhole}, {"", 10}, {"", kWhole}, {"", kWhole, 1}}, rows, screen);
}

}  // namespace

std::string history_screen(const History& history, const Screen& screen) {
  std::string out = paragraph(history.device + ": ",
                              joined({between_words({history.from, history.to}, screen),
                                      history.resolution.empty() ? "" : "by " + history.resolution},
                                     ", "),
                              screen, Tone::heading);
  out += points_table(history, screen);
  if (!history.unobserved.empty()) out += title("Nobody looked", screen);
  for (const Span& each : history.unobserved) out += paragraph("  ", between_words(each, screen), screen);
  return out + incident_rows(history, screen);
}

std::string history_lines(const History& history) {
  Lines lines;
  for (const Series& series : history.series)
    for (const Point& point : series.points)
      lines.push_back({series.name, plain(point.at), "", plain(point.value), series.unit, series.description});
  for (const Span& each : history.unobserved)
    lines.push_back({"unobserved", plain(each.from), plain(each.to), "", "", ""});
  for (const PastIncident& each : history.incidents)
    lines.push_back({"incident:" + each.id, plain(each.raised_at), plain(each.cleared_at), "", "",
                     joined({each.severity ? std::string(model::to_text(*each.severity)) : "", each.kind}, " ")});
  return tab_separated({"about", "at", "until", "value", "unit", "description"}, lines);
}

}  // namespace frisket::client
