// What is written on every page, in whatever format. Inside of this folder only.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "daemon/testpage/page.h"

namespace frisket::testpage {

inline constexpr std::string_view kTitle = "Frisket test page";
inline constexpr std::string_view kLookForInColour =
    "Good is: every bar full and even, no line broken or doubled, every step of the four patterns there, every cross "
    "sharp, and the rest of the sheet clean.";
inline constexpr std::string_view kLookForInText =
    "Good is: every line below complete and even, and nothing left inside.";

// Each text bounded, valid UTF-8, one line.
PageContent tidied(const PageContent& content);

struct Detail {
  std::string label;
  std::string text;
};
// What there is of device, place, time, incident and page id; "-" for what must not be empty.
std::vector<Detail> details(const PageContent& content);

}  // namespace frisket::testpage
