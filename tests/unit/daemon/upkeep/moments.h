// Instants and days as tests write them.
#pragma once

#include <catch2/catch.hpp>
#include <string>

#include "daemon/upkeep/calendar.h"

namespace moments {

inline frisket::model::WallTime at(const std::string& text) {
  return frisket::model::from_rfc3339(text).value();  // throws for what is no instant
}

inline frisket::upkeep::LocalDay day(int year, unsigned month, unsigned day_of_month) {
  return frisket::upkeep::LocalDay{std::chrono::year{year} / std::chrono::month{month} /
                                   std::chrono::day{day_of_month}};
}

inline frisket::upkeep::Calendar calendar(const std::string& zone,
                                          std::vector<frisket::upkeep::LocalDay> holidays = {}) {
  auto made = frisket::upkeep::Calendar::of(zone, std::move(holidays));
  REQUIRE(made);
  return *made;
}

}  // namespace moments
