// The months' impressions, and what is to be known of them.
#include <algorithm>
#include <array>
#include <cmath>

#include "daemon/client/csv.h"
#include "daemon/client/table.h"
#include "daemon/client/upkeep_views.h"
#include "daemon/client/view_parts.h"
#include "daemon/client/words.h"

namespace frisket::client {
namespace {

constexpr std::size_t kWhole = Column::kWhole;

struct FlagWords {
  const char* flag;
  const char* briefly;
  const char* means;
};

constexpr std::array<FlagWords, 6> kFlags = {{
    {"wrapped", "counter went round", "The device's counter came to its end and began again at 0. All is counted."},
    {"reset", "counter was reset",
     "The counter fell. What was printed between the last reading and the reset is missing: the figure is too low."},
    {"board-replaced", "board replaced",
     "The serial number and the counter changed. What was printed around the replacement is missing."},
    {"jumped", "counter jumped",
     "The counter rose faster than any printer prints. The jump is not counted: ask the maker's service if it was "
     "printed."},
    {"apportioned", "partly estimated",
     "Nobody could read the counter over the end of the month. What was printed meanwhile is divided by time."},
    {"incomplete", "not the whole month",
     "The device was not watched from the first to the last instant of the month: the figure is what is known of it."},
}};

bool has(const std::vector<std::string>& flags, const std::string& flag) {
  return std::ranges::find(flags, flag) != flags.end();
}

const FlagWords* words_of(const std::string& flag) {
  const auto* const found = std::ranges::find(kFlags, flag, &FlagWords::flag);
  return found == kFlags.end() ? nullptr : &*found;
}

// Of the whole figure, then what else is to be known of that in colour.
std::string flags_words(const MeterReading& reading) {
  std::vector<std::string> words;
  const auto add = [&](const std::string& flag, const std::string& before) {
    const FlagWords* known = words_of(flag);
    words.push_back(before + (known == nullptr ? flag : known->briefly));
  };
  for (const std::string& each : reading.flags) add(each, "");
  for (const std::string& each : reading.colour_flags)
    if (!has(reading.flags, each)) add(each, "colour: ");
  return joined(words, ", ");
}

std::string whole_words(std::optional<double> impressions) {
  if (!impressions) return "not known";
  return std::to_string(std::llround(std::clamp(*impressions, 0.0, 1e15)));
}

// Each flag that occurs, once.
std::string legend(const std::vector<MeterReading>& readings, const Screen& screen) {
  std::string out;
  for (const FlagWords& each : kFlags) {
    const bool met = std::ranges::any_of(readings, [&](const MeterReading& reading) {
      return has(reading.flags, each.flag) || has(reading.colour_flags, each.flag);
    });
    if (met) out += paragraph(fitted(std::string("  ") + each.briefly, 23), each.means, screen);
  }
  return out.empty() ? out : '\n' + out;
}

const std::vector<std::string> kMeterColumns = {"device", "month", "impressions", "flags",      "site",        "serial",
                                                "maker",  "model", "colour",      "monochrome", "colour_flags"};

std::vector<std::vector<std::string>> meter_rows(const Foreseen<MeterReading>& readings) {
  std::vector<std::vector<std::string>> rows;
  rows.reserve(readings.items.size());
  for (const MeterReading& each : readings.items)
    rows.push_back({each.device, each.month, plain(each.impressions), joined(each.flags, " "), each.site, each.serial,
                    each.maker, each.model, plain(each.colour), plain(each.monochrome),
                    joined(each.colour_flags, " ")});
  return rows;
}

}  // namespace

std::string meter_screen(const Foreseen<MeterReading>& readings, const Screen& screen) {
  if (readings.items.empty()) return paragraph("", "Nothing was counted in that month.", screen);
  Rows rows;
  double sum = 0;
  std::optional<double> colour;  // of those that tell it
  std::int64_t flagged = 0;
  for (const MeterReading& each : readings.items) {
    const std::string notes = flags_words(each);
    rows.push_back({{each.device},
                    {each.month},
                    {whole_words(each.impressions)},
                    {each.colour ? whole_words(each.colour) : ""},
                    {notes, notes.empty() ? Tone::plain : Tone::warning},
                    {each.serial},
                    {each.site},
                    {joined({each.maker, each.model}, " ")}});
    sum += std::clamp(each.impressions.value_or(0), 0.0, 1e15);
    if (!notes.empty()) ++flagged;
    if (each.colour) colour = colour.value_or(0) + std::clamp(*each.colour, 0.0, 1e15);
  }
  std::string out = fitted_table({{"DEVICE", kWhole},
                                  {"MONTH", kWhole},
                                  {"IMPRESSIONS", kWhole},
                                  {colour ? "IN COLOUR" : "", kWhole},
                                  {"TO BE KNOWN", kWhole},
                                  {"SERIAL", kWhole, 1},
                                  {"SITE", 8, 2},
                                  {"MODEL", 10, 3}},
                                 rows, screen.width, screen.colour);
  std::string total = "In all " + whole_words(sum) + " impressions";
  if (colour) total += ", " + whole_words(colour) + " of them told to be in colour";
  if (flagged > 0) total += "; " + counted_words(flagged, "figure has", "figures have") + " a note";
  return out + '\n' + paragraph("", total + '.', screen) + legend(readings.items, screen);
}

std::string meter_lines(const Foreseen<MeterReading>& readings) {
  return tab_separated(kMeterColumns, meter_rows(readings));
}

std::string meter_csv(const Foreseen<MeterReading>& readings) { return csv(kMeterColumns, meter_rows(readings)); }

}  // namespace frisket::client
