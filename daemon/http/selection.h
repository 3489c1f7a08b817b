// Some members of a JSON object that is text already. Pure.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace frisket::http {

// Names of members; none: all of them.
using FieldNames = std::vector<std::string>;

// Appends `object`, one that daemon/json wrote (no white space, member names without escapes), with those of its
// members only that are named, in its own order. A name that it does not have adds nothing.
void append_selected(std::string& out, std::string_view object, const FieldNames& names);

}  // namespace frisket::http
