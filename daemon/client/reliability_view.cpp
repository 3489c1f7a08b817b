// How often devices and models jam beside the others, how much of the time they could print, and how long repairs take.
#include "daemon/client/reliability_view.h"

#include <algorithm>
#include <array>
#include <cstdio>
#include <tuple>

#include "daemon/client/table.h"
#include "daemon/client/view_parts.h"
#include "daemon/client/words.h"

namespace frisket::client {
namespace {

constexpr std::size_t kWhole = Column::kWhole;

std::string fixed(std::optional<double> number, int decimals) {
  if (!number) return "";
  std::array<char, 48> text{};
  std::snprintf(text.data(), text.size(), "%.*f", decimals, std::clamp(*number, -1e15, 1e15));
  return text.data();
}

std::string limits_words(const Jams& jams) {
  if (!jams.low || !jams.high) return "";
  return fixed(jams.low, 2) + " to " + fixed(jams.high, 2);
}

std::string beside_words(const Jams& jams) {
  if (!jams.rate) return "no sheets counted";
  if (jams.worse) return "jams more often";
  return jams.better ? "jams less often" : "no clear difference";
}

Tone tone_of(const Jams& jams) { return jams.worse ? Tone::minor : Tone::plain; }

// As a program gets it: "worse", "better", "alike"; empty where there is no rate.
std::string comparison(const Jams& jams) {
  if (!jams.rate) return "";
  if (jams.worse) return "worse";
  return jams.better ? "better" : "alike";
}

// "Tray 2 (3), Tray 1 (1)"
std::string places_words(const std::vector<JamPlace>& places) {
  std::vector<std::string> words;
  for (const JamPlace& each : places)
    words.push_back((each.place.empty() ? "no place told" : each.place) + " (" + plain(each.jams) + ')');
  return joined(words, ", ");
}

std::string share_words(std::optional<double> share) {
  return share ? fixed(std::clamp(*share, 0.0, 1.0) * 100, 2) + " %" : "not known";
}

std::string hours_words(std::optional<double> hours) {
  if (!hours) return "not known";
  constexpr double kMostHours = 1e6;
  const auto minutes = static_cast<std::int64_t>(std::clamp(*hours, 0.0, kMostHours) * 60 + 0.5);
  return span_words(std::chrono::minutes{minutes});
}

void worst_first(std::vector<DeviceReliability>& devices) {
  std::ranges::stable_sort(devices, {}, [](const DeviceReliability& each) {
    return std::make_tuple(!each.jams.worse, -each.jams.rate.value_or(-1), each.device);
  });
}

std::string device_table(const std::vector<DeviceReliability>& devices, const Screen& screen) {
  Rows rows;
  for (const DeviceReliability& each : devices)
    rows.push_back({{each.device},
                    {plain(each.jams.count)},
                    {plain(each.jams.sheets)},
                    {fixed(each.jams.rate, 2)},
                    {limits_words(each.jams)},
                    {beside_words(each.jams), tone_of(each.jams)},
                    {share_words(each.availability)},
                    {places_words(each.places)},
                    {each.site}});
  return fitted_table({{"DEVICE", kWhole},
                       {"JAMS", kWhole},
                       {"SHEETS", kWhole, 2},
                       {"PER 10,000", kWhole},
                       {"LIMITS", kWhole},
                       {"BESIDE THE OTHERS", kWhole},
                       {"COULD PRINT", kWhole, 1},
                       {"JAMMED AT", 10, 3},
                       {"SITE", 8, 4}},
                      rows, screen.width, screen.colour);
}

std::string model_table(const std::vector<ModelReliability>& models, const Screen& screen) {
  if (models.empty()) return "";
  Rows rows;
  for (const ModelReliability& each : models)
    rows.push_back({{joined({each.maker, each.model}, " ")},
                    {plain(each.devices)},
                    {plain(each.jams.count)},
                    {plain(each.jams.sheets)},
                    {fixed(each.jams.rate, 2)},
                    {limits_words(each.jams)},
                    {beside_words(each.jams), tone_of(each.jams)}});
  return title("Models, in the whole fleet", screen) + fitted_table({{"MODEL", 20},
                                                                     {"DEVICES", kWhole, 1},
                                                                     {"JAMS", kWhole},
                                                                     {"SHEETS", kWhole, 2},
                                                                     {"PER 10,000", kWhole},
                                                                     {"LIMITS", kWhole},
                                                                     {"BESIDE THE OTHERS", kWhole}},
                                                                    rows, screen.width, screen.colour, 2);
}

std::string kind_table(const std::vector<KindReliability>& kinds, const Screen& screen) {
  if (kinds.empty()) return "";
  Rows rows;
  for (const KindReliability& each : kinds)
    rows.push_back({{each.kind},
                    {plain(each.incidents)},
                    {plain(each.open)},
                    {hours_words(each.mean_between_hours)},
                    {hours_words(each.mean_repair_hours)},
                    {hours_words(each.median_repair_hours)}});
  return title("Incidents, in the whole fleet", screen) + fitted_table({{"KIND", kWhole},
                                                                        {"RAISED", kWhole},
                                                                        {"OPEN", kWhole, 2},
                                                                        {"MEAN TIME BETWEEN", kWhole},
                                                                        {"MEAN TO REPAIR", kWhole},
                                                                        {"HALF WITHIN", kWhole, 1}},
                                                                       rows, screen.width, screen.colour, 2);
}

std::string verdict(const std::vector<DeviceReliability>& devices, const Screen& screen) {
  std::vector<std::string> worse;
  for (const DeviceReliability& each : devices)
    if (each.jams.worse) worse.push_back(each.device);
  const char* const limits = " The limits hold the true rate in 95 of 100 cases.";
  if (worse.empty())
    return paragraph(
        "", std::string("No device here jams so much more than the others that chance would not explain it.") + limits,
        screen);
  return paragraph("",
                   joined(worse, ", ") + (worse.size() == 1 ? " jams" : " jam") +
                       " more often than chance explains: look there first." + limits,
                   screen);
}

std::vector<std::string> jam_cells(const Jams& jams) {
  return {plain(jams.count), plain(jams.sheets), plain(jams.rate), plain(jams.low), plain(jams.high), comparison(jams)};
}

std::vector<std::string> row_of(std::vector<std::string> front, const Jams& jams,
                                const std::vector<std::string>& back) {
  for (std::string& cell : jam_cells(jams)) front.push_back(std::move(cell));
  front.insert(front.end(), back.begin(), back.end());
  return front;
}

}  // namespace

std::string reliability_screen(Reliability reliability, const Screen& screen) {
  if (!reliability.from || !reliability.to)
    return paragraph("", "No figures have been made yet since the daemon started.", screen);
  std::string out = paragraph("",
                              "Jams per 10,000 sheets from " + local_date(*reliability.from, screen.zone) + " to " +
                                  local_date(*reliability.to, screen.zone) + '.',
                              screen);
  if (reliability.devices.empty()) return out + paragraph("", "No device of this name or site is known.", screen);
  worst_first(reliability.devices);
  out += '\n' + device_table(reliability.devices, screen) + '\n' + verdict(reliability.devices, screen);
  return out + model_table(reliability.models, screen) + kind_table(reliability.kinds, screen);
}

std::string reliability_lines(const Reliability& reliability) {
  Lines devices;
  Lines places;
  Lines models;
  Lines kinds;
  for (const DeviceReliability& each : reliability.devices) {
    devices.push_back(
        row_of({each.device, each.site}, each.jams,
               {plain(each.availability), plain(each.observed_hours), plain(each.down_hours), each.maker, each.model}));
    for (const JamPlace& place : each.places) places.push_back({each.device, place.place, plain(place.jams)});
  }
  for (const ModelReliability& each : reliability.models)
    models.push_back(row_of({each.maker, each.model, plain(each.devices)}, each.jams, {}));
  for (const KindReliability& each : reliability.kinds)
    kinds.push_back({each.kind, plain(each.incidents), plain(each.open), plain(each.mean_between_hours),
                     plain(each.mean_repair_hours), plain(each.median_repair_hours)});
  return tab_separated({"device", "site", "jams", "sheets", "rate", "rate_low", "rate_high", "comparison",
                        "availability", "observed_hours", "down_hours", "maker", "model"},
                       devices) +
         '\n' + tab_separated({"device", "place", "jams"}, places) + '\n' +
         tab_separated({"maker", "model", "devices", "jams", "sheets", "rate", "rate_low", "rate_high", "comparison"},
                       models) +
         '\n' +
         tab_separated({"kind", "incidents", "open", "mean_between_hours", "mean_repair_hours", "median_repair_hours"},
                       kinds);
}

}  // namespace frisket::client
