// The words and small pieces that several views share.
//
// Pure; any thread.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/client/answers.h"
#include "daemon/client/display.h"
#include "daemon/client/views.h"

namespace frisket::client {

Tone tone_of(Severity severity);
Tone tone_of_state(std::string_view device_state);

// "[####......]": ten places, one for each ten per cent that are at least half there; anything above
// nothing shows at least one. Blanks where there is no number, so that what follows stays aligned.
std::string bar(std::optional<double> percent);

// "42 per cent", "under 1 per cent", "none", "some left", "not known", "no limit"; for a receptacle
// "room for 42 per cent", "full", "some room left". With ", low" where the daemon says so.
std::string level_words(const Supply& supply);

// The same of an input ("250 of 500 sheets", "empty") and of an output ("room for 40 of 100 sheets", "full").
std::string input_words(const Tray& tray);
std::string output_words(const Tray& tray);

// "black toner" from colorant and type where the device gave no description.
std::string supply_name(const Supply& supply);

// "12 days (5 to 20)": the likeliest, and between what it will be in eight of ten cases. "90 days or more", "no date:
// too little history"; empty where nothing is forecast and nobody says why.
std::string days_words(const Supply& supply);

// "herbarium-copier, Tray 2 (glasshouse)"; empty parts are left out.
std::string where_words(const Incident& incident);

// Worst first, then the longest open, then by id.
void worst_first(std::vector<Incident>& incidents);

// A block of three lines per incident, wrapped, with an empty line between blocks.
std::string incident_blocks(const std::vector<Incident>& incidents, const Screen& screen);

// "2 x FW-T42, black (Fernwerk)".
std::string part_words(const CarriedPart& part);

// Values as a pipe gets them: an empty text for "not said".
std::string plain(std::optional<double> number);
std::string plain(std::optional<std::int64_t> number);
std::string plain(std::optional<bool> flag);
std::string plain(std::optional<WallTime> instant);

// "1 device", "3 devices".
std::string counted_words(std::int64_t count, std::string_view one, std::string_view many);

// The heading of a part of a screen, after an empty line.
std::string title(std::string_view text, const Screen& screen);

// "  Where     Herbarium, first floor"; nothing where there is no value.
std::string labelled(std::string_view label, std::string_view value, const Screen& screen);

// Not-empty parts with the separator between them.
std::string joined(const std::vector<std::string>& parts, std::string_view separator);

// Lines wrapped to the screen, the first after `lead`, the others indented as far.
std::string paragraph(std::string_view lead, std::string_view text, const Screen& screen, Tone tone = Tone::plain);

}  // namespace frisket::client
