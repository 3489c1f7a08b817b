// Parts of a screen, and lines of "about, field, value", that a device and a print queue share.
//
// Pure; any thread.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/client/answers.h"
#include "daemon/client/table.h"
#include "daemon/client/views.h"

namespace frisket::client {

using Rows = std::vector<std::vector<Cell>>;
using Lines = std::vector<std::vector<std::string>>;

// A titled list, its rows indented; nothing where there are no rows. Columns have no titles of their own: each says
// what it is.
std::string section(std::string_view name, const std::vector<Column>& header, const Rows& rows, const Screen& screen);

// "08:12, 25 min ago", "never".
std::string last_read_words(std::optional<WallTime> last_reading_at, const Screen& screen);

std::string conditions_part(const std::vector<Condition>& conditions, const Screen& screen);
void condition_lines(Lines& lines, const std::vector<Condition>& conditions);

// The worst first.
std::string open_incidents_part(std::vector<Incident> open, const Screen& screen);
void open_incident_lines(Lines& lines, std::vector<Incident> open);

}  // namespace frisket::client
