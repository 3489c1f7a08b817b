// [[site]].
#include "config/sections.h"
#include "config/time_zones.h"

namespace frisket::config {
namespace {

void check_zone(TimeZones& zones, Section& section, const std::string& name) {
  if (!zones.installed()) return;
  if (is_zone_name(name) && !zones.knows(name))
    section.refuse("time_zone", in_quotes(name),
                   "a time zone that is under /usr/share/zoneinfo, such as \"Europe/Dublin\"");
}

}  // namespace

std::vector<Site> read_sites(Reading& reading) {
  std::vector<Site> sites;
  TimeZones zones;
  for (const auto* table : repeated(reading, "site")) {
    Section section(*table, "site", reading.findings);
    Site site;
    site.name = section.text("name");
    reading.sites.add(section, site.name);
    site.time_zone = section.text("time_zone");
    site.holidays = read_holidays(section);
    check_zone(zones, section, site.time_zone);
    if (sites.empty() && !zones.installed())
      section.warn("time_zone", "cannot be checked, since /usr/share/zoneinfo is missing (Debian: tzdata)");
    sites.push_back(std::move(site));
  }
  return sites;
}

}  // namespace frisket::config
