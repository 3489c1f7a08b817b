#include "daemon/client/view_parts.h"

#include "daemon/client/words.h"

namespace frisket::client {
namespace {

std::string severity_word(const Condition& condition) {
  return condition.severity ? std::string(model::to_text(*condition.severity)) : std::string();
}

}  // namespace

std::string section(std::string_view name, const std::vector<Column>& header, const Rows& rows, const Screen& screen) {
  if (rows.empty()) return "";
  return title(name, screen) + fitted_table(header, rows, screen.width, screen.colour, 2);
}

std::string last_read_words(std::optional<WallTime> last_reading_at, const Screen& screen) {
  if (!last_reading_at) return "never";
  const std::string words = since_words(*last_reading_at, screen.now, screen.zone);
  return *last_reading_at > screen.now ? words : words + " ago";
}

std::string conditions_part(const std::vector<Condition>& conditions, const Screen& screen) {
  Rows rows;
  for (const Condition& each : conditions)
    rows.push_back({{severity_word(each), each.severity ? tone_of(*each.severity) : Tone::plain},
                    {each.keyword},
                    {each.place.empty() ? each.subunit : each.place},
                    {each.since ? "since " + since_words(*each.since, screen.now, screen.zone) : ""}});
  return section("Conditions", {{"", Column::kWhole}, {"", 10}, {"", 8}, {"", Column::kWhole, 1}}, rows, screen);
}

void condition_lines(Lines& lines, const std::vector<Condition>& conditions) {
  for (std::size_t i = 0; i < conditions.size(); ++i) {
    const Condition& each = conditions[i];
    const std::string about = "condition:" + std::to_string(i + 1);
    lines.push_back({about, "keyword", each.keyword});
    lines.push_back({about, "severity", severity_word(each)});
    lines.push_back({about, "subunit", each.subunit});
    lines.push_back({about, "place", each.place});
    lines.push_back({about, "since", plain(each.since)});
  }
}

std::string open_incidents_part(std::vector<Incident> open, const Screen& screen) {
  worst_first(open);
  return title("Open incidents", screen) + (open.empty() ? "  none\n" : incident_blocks(open, screen));
}

void open_incident_lines(Lines& lines, std::vector<Incident> open) {
  worst_first(open);
  for (const Incident& each : open) {
    const std::string about = "incident:" + each.id;
    lines.push_back({about, "severity", std::string(model::to_text(each.severity))});
    lines.push_back({about, "kind", each.kind});
    lines.push_back({about, "place", each.place});
    lines.push_back({about, "raised_at", plain(each.raised_at)});
    lines.push_back({about, "summary", each.summary});
  }
}

}  // namespace frisket::client
