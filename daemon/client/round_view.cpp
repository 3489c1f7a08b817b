#include "daemon/client/round_view.h"

#include <algorithm>

#include "daemon/client/table.h"
#include "daemon/client/upkeep_words.h"
#include "daemon/client/view_parts.h"
#include "daemon/client/words.h"

namespace frisket::client {
namespace {

std::string head(const Round& round, const Screen& screen) {
  std::string what = local_date(screen.now, screen.zone);
  if (!round.site.empty()) what = round.site + ", " + what;
  if (round.days) what += ", for the next " + counted_words(*round.days, "day", "days");
  std::string sum = counted_words(static_cast<std::int64_t>(round.stops.size()), "stop", "stops");
  if (round.minutes) sum += ", " + minutes_words(round.minutes) + " in all";
  if (round.walking_minutes) sum += ", " + minutes_words(round.walking_minutes) + " of it on foot";
  if (round.budget) sum += ", of " + minutes_words(round.budget) + " that there are";
  return paragraph("Round: ", what, screen, Tone::heading) + paragraph("", sum + '.', screen) +
         paragraph("", made_words(round.made_at, screen), screen);
}

std::string shelf_words(const CarriedInAll& item) {
  if (!item.on_hand) return "";
  const std::string shelf = std::to_string(*item.on_hand) + " on the shelf";
  const std::int64_t missing = item.part.count - std::max<std::int64_t>(*item.on_hand, 0);
  return missing > 0 ? shelf + ": " + counted_words(missing, "is", "are") + " missing" : shelf;
}

std::string carry_part(const Round& round, const Screen& screen) {
  std::string out = title("To carry", screen);
  if (round.carry.empty()) return out + "  nothing but tools\n";
  for (const CarriedInAll& each : round.carry)
    out += paragraph("  [ ] ", joined({part_words(each.part), shelf_words(each)}, "; "), screen);
  return out;
}

std::string floor_words(std::int64_t floor) {
  if (floor == 0) return "ground floor";
  if (floor == -1) return "basement";
  return "floor " + std::to_string(floor);
}

std::string area_words(const RoundStop& stop) {
  return joined({stop.building, stop.floor && !stop.building.empty() ? floor_words(*stop.floor) : ""}, ", ");
}

// What closes the loop once it is done.
std::string tick_words(const RoundJob& job) {
  std::vector<std::string> words;
  if (!job.task.empty()) words.push_back("frisket upkeep done " + job.task);
  if (!job.incident.empty()) words.push_back("incident " + job.incident);
  return joined(words, "; ");
}

std::string job_part(const RoundJob& job, const Screen& screen) {
  auto what = job.what;
  if (what.ends_with('.')) what.pop_back();  // the minutes follow
  std::string out = paragraph("   [ ] ", joined({what, minutes_words(job.minutes)}, ", "), screen, Tone::plain);
  const auto line = [&](const char* label, const std::string& text) {
    if (!text.empty()) out += paragraph(std::string("       ") + label, text, screen);
  };
  line("Why: ", joined({job.severity, job.why}, ": "));
  std::vector<std::string> carried;
  for (const CarriedPart& each : job.carry) carried.push_back(part_words(each));
  line("Take: ", joined(carried, "; "));
  out += remedy_part(job.remedy, 7, screen);
  line("Done: ", tick_words(job));
  return out;
}

std::string stop_part(const RoundStop& stop, std::size_t number, const Screen& screen) {
  const std::string where = stop.place.empty() ? stop.location : stop.place;
  std::string out =
      paragraph(std::to_string(number) + ". ",
                joined({joined({stop.device, where}, ": "), minutes_words(stop.minutes)}, ", "), screen, Tone::heading);
  for (const RoundJob& each : stop.jobs) out += job_part(each, screen);
  return out;
}

std::string stops_part(const Round& round, const Screen& screen) {
  std::string out;
  std::string area;
  for (std::size_t i = 0; i < round.stops.size(); ++i) {
    const std::string here = area_words(round.stops[i]);
    if (i == 0 || here != area) out += title(here.empty() ? "Somewhere" : here, screen);
    area = here;
    out += stop_part(round.stops[i], i + 1, screen);
  }
  return out;
}

std::string left_part(const Round& round, const Screen& screen) {
  if (round.left_out.empty()) return "";
  std::string out = title("Can wait", screen);
  for (const LeftOut& each : round.left_out)
    out += paragraph("  - ", joined({joined({each.device, each.what}, ": "), each.why}, "; "), screen);
  return out;
}

void carried_lines(Lines& lines, const std::string& about, const std::vector<CarriedPart>& parts) {
  for (const CarriedPart& each : parts) lines.push_back({about, "carry", part_words(each)});
}

void job_lines(Lines& lines, const std::string& about, const RoundJob& job) {
  lines.push_back({about, "what", job.what});
  lines.push_back({about, "why", job.why});
  lines.push_back({about, "incident", job.incident});
  lines.push_back({about, "severity", job.severity});
  lines.push_back({about, "task", job.task});
  lines.push_back({about, "supply", plain(job.supply)});
  lines.push_back({about, "minutes", plain(job.minutes)});
  lines.push_back({about, "value", plain(job.value)});
  carried_lines(lines, about, job.carry);
  remedy_lines(lines, about, job.remedy);
}

void stop_lines(Lines& lines, const RoundStop& stop, std::size_t number) {
  const std::string about = "stop:" + std::to_string(number);
  lines.push_back({about, "device", stop.device});
  lines.push_back({about, "building", stop.building});
  lines.push_back({about, "floor", plain(stop.floor)});
  lines.push_back({about, "place", stop.place});
  lines.push_back({about, "location", stop.location});
  lines.push_back({about, "minutes", plain(stop.minutes)});
  for (std::size_t i = 0; i < stop.jobs.size(); ++i)
    job_lines(lines, "job:" + std::to_string(number) + '.' + std::to_string(i + 1), stop.jobs[i]);
}

}  // namespace

std::string round_screen(const Round& round, const Screen& screen) {
  if (round.stops.empty())
    return head(round, screen) + paragraph("", "Nobody need go anywhere.", screen) + left_part(round, screen);
  return head(round, screen) + carry_part(round, screen) + stops_part(round, screen) + left_part(round, screen);
}

std::string round_lines(const Round& round) {
  Lines lines = {{"round", "site", round.site},
                 {"round", "days", plain(round.days)},
                 {"round", "minutes", plain(round.minutes)},
                 {"round", "walking_minutes", plain(round.walking_minutes)},
                 {"round", "budget", plain(round.budget)},
                 {"round", "made_at", plain(round.made_at)}};
  for (std::size_t i = 0; i < round.carry.size(); ++i) {
    const CarriedInAll& each = round.carry[i];
    const std::string about = "carry:" + std::to_string(i + 1);
    lines.push_back({about, "part", each.part.part});
    lines.push_back({about, "maker", each.part.maker});
    lines.push_back({about, "colorant", each.part.colorant});
    lines.push_back({about, "count", std::to_string(each.part.count)});
    lines.push_back({about, "on_hand", plain(each.on_hand)});
  }
  for (std::size_t i = 0; i < round.stops.size(); ++i) stop_lines(lines, round.stops[i], i + 1);
  for (std::size_t i = 0; i < round.left_out.size(); ++i) {
    const std::string about = "left_out:" + std::to_string(i + 1);
    lines.push_back({about, "device", round.left_out[i].device});
    lines.push_back({about, "what", round.left_out[i].what});
    lines.push_back({about, "why", round.left_out[i].why});
  }
  return tab_separated({"about", "field", "value"}, lines);
}

}  // namespace frisket::client
