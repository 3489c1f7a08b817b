#include <array>
#include <cstdio>

#include "daemon/client/table.h"
#include "daemon/client/views.h"
#include "daemon/client/words.h"

namespace frisket::client {
namespace {

struct Row {
  const char* over;
  const SpanLoad& span;
};

std::array<Row, 3> rows_of(const Load& load) { return {{{"hour", load.hour}, {"day", load.day}, {"week", load.week}}}; }

std::string two_decimals(std::optional<double> number) {
  if (!number) return {};
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%.2f", *number);
  return text.data();
}

// "very-likely-acceptable" as people write it.
std::string spaced(std::string text) {
  for (char& c : text)
    if (c == '-') c = ' ';
  return text;
}

std::string noise_title(const Load& load) {
  std::string text = "Noisiest of the week";
  if (load.noisiest_share) text += ", " + two_decimals(*load.noisiest_share * 100) + " per cent of all";
  return text;
}

}  // namespace

std::string load_screen(const Load& load, const Screen& screen) {
  std::vector<std::vector<Cell>> rows;
  for (const auto& [over, span] : rows_of(load))
    rows.push_back({{over},
                    {plain(span.raised)},
                    {two_decimals(span.per_hour)},
                    {two_decimals(span.per_ten_minutes)},
                    {spaced(span.rate)},
                    {plain(span.peak)},
                    {spaced(span.peak_verdict)}});
  std::string out =
      paragraph("", "Incidents raised " + (load.site.empty() ? "in the fleet" : "at " + load.site), screen);
  out += fitted_table({{"LAST"}, {"RAISED"}, {"PER HOUR"}, {"PER 10 MIN"}, {"AVERAGE IS"}, {"PEAK"}, {"PEAK IS"}},
                      std::move(rows), screen.width, screen.colour);
  out += paragraph("", load.in_flood.value_or(false) ? "A flood is going on." : "There is no flood.", screen);
  if (!load.site.empty()) return out;
  out += paragraph("",
                   counted_words(load.chattering.value_or(0), "incident comes and goes", "incidents come and go") +
                       ", " + counted_words(load.stale.value_or(0), "is stale", "are stale") + ".",
                   screen);
  if (load.noisiest.empty()) return out;
  out += title(noise_title(load), screen);
  std::vector<std::vector<Cell>> noisy;
  for (const auto& pair : load.noisiest)
    noisy.push_back({{plain(pair.raised)}, {pair.kind}, {pair.device.empty() ? "no single device" : pair.device}});
  return out + fitted_table({{""}, {""}, {""}}, std::move(noisy), screen.width, screen.colour, 2);
}

// Of the fleet two tables with an empty line between them, of a site the first.
std::string load_lines(const Load& load) {
  std::string out = tab_line({"over", "raised", "per_hour", "per_ten_minutes", "rate", "peak", "peak_verdict"});
  for (const auto& [over, span] : rows_of(load))
    out += tab_line({over, plain(span.raised), plain(span.per_hour), plain(span.per_ten_minutes), span.rate,
                     plain(span.peak), span.peak_verdict});
  if (!load.site.empty()) return out;
  out += '\n' + tab_line({"device", "kind", "raised"});
  for (const auto& pair : load.noisiest) out += tab_line({pair.device, pair.kind, plain(pair.raised)});
  return out;
}

}  // namespace frisket::client
