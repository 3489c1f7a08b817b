// The words that the views of orders, service, meters and rounds share. Pure; any thread.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "daemon/client/upkeep_answers.h"
#include "daemon/client/views.h"

namespace frisket::client {

// "Fri 2026-11-27, in 2 days", "Wed 2026-11-25, today"; empty where there is no date.
std::string date_words(std::optional<WallTime> instant, const Screen& screen);

// "Forecasts of Wed 03:10.", or that there are none yet and what that means.
std::string made_words(std::optional<WallTime> made_at, const Screen& screen);

// "35 min", "1 h 25 min"; empty where it is not known.
std::string minutes_words(std::optional<double> minutes);

// Cautions, then steps with numbers, each line after `indent` spaces; cautions always come first.
std::string remedy_part(const Remedy& remedy, std::size_t indent, const Screen& screen);
void remedy_lines(std::vector<std::vector<std::string>>& lines, const std::string& about, const Remedy& remedy);

// A screen for a sheet of paper: without colour, 76 columns at most, so that it fits A4 and Letter with a margin.
Screen on_paper(Screen screen);

}  // namespace frisket::client
