// The words of remedies, by kind, technology and place: all in one file, to be reviewed together.
//
// They defer to the maker's manual, to local rules and to qualified service. Pure; any thread.
#pragma once

#include <string_view>
#include <vector>

#include "daemon/incidents/incident.h"
#include "probes/model/device.h"

namespace frisket::incidents {

struct RemedyText {
  std::vector<std::string_view> cautions;
  std::vector<std::string_view> steps;  // {place} stands for the place
};

// Of the problem that this condition leads. `snapshot` is the device's last reading; null if it never answered.
RemedyText remedy_text(const Condition& lead, const model::DeviceSnapshot* snapshot);

}  // namespace frisket::incidents
