// What the verb `reliability` prints. As views.h. Pure; any thread.
#pragma once

#include <string>

#include "daemon/client/reliability_answers.h"
#include "daemon/client/views.h"

namespace frisket::client {

// Devices with what is said of them beside the others first, then those with the highest rate.
std::string reliability_screen(Reliability reliability, const Screen& screen);

// Four tables with an empty line between them: devices, places where they jam, models, kinds of incidents.
std::string reliability_lines(const Reliability& reliability);

}  // namespace frisket::client
