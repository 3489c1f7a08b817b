#include "daemon/client/upkeep_words.h"

#include <algorithm>
#include <cmath>

#include "daemon/client/words.h"

namespace frisket::client {
namespace {

std::string ahead_words(std::int64_t days) {
  if (days == 0) return "today";
  if (days == 1) return "tomorrow";
  if (days == -1) return "yesterday";
  return days > 0 ? "in " + std::to_string(days) + " days" : std::to_string(-days) + " days ago";
}

}  // namespace

std::string date_words(std::optional<WallTime> instant, const Screen& screen) {
  if (!instant) return "";
  return local_date(*instant, screen.zone) + ", " + ahead_words(local_days_ahead(*instant, screen.now, screen.zone));
}

std::string made_words(std::optional<WallTime> made_at, const Screen& screen) {
  if (!made_at) return "No forecast has been made yet since the daemon started: what depends on a date is missing.";
  return "Forecasts of " + local_moment(*made_at, screen.now, screen.zone) + ".";
}

std::string minutes_words(std::optional<double> minutes) {
  if (!minutes) return "";
  const auto whole = std::lround(std::clamp(*minutes, 0.0, 1e6));
  if (whole < 60) return std::to_string(whole) + " min";
  return std::to_string(whole / 60) + " h " + (whole % 60 < 10 ? "0" : "") + std::to_string(whole % 60) + " min";
}

std::string remedy_part(const Remedy& remedy, std::size_t indent, const Screen& screen) {
  const std::string margin(indent, ' ');
  std::string out;
  for (const std::string& each : remedy.cautions) out += paragraph(margin + "CAUTION  ", each, screen, Tone::major);
  for (std::size_t i = 0; i < remedy.steps.size(); ++i)
    out += paragraph(margin + std::to_string(i + 1) + ". ", remedy.steps[i], screen);
  return out;
}

void remedy_lines(std::vector<std::vector<std::string>>& lines, const std::string& about, const Remedy& remedy) {
  for (const std::string& each : remedy.cautions) lines.push_back({about, "caution", each});
  for (const std::string& each : remedy.steps) lines.push_back({about, "step", each});
}

Screen on_paper(Screen screen) {
  constexpr std::size_t kPaperColumns = 76;
  screen.width = kPaperColumns;
  screen.colour = false;
  return screen;
}

}  // namespace frisket::client
