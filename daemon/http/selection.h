// Some members of a JSON object that is text already. Pure.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace frisket::http {

// Names of members; none: all of them.
using FieldNames = std::vector<std::string>;

// Where a member stands in the object's text: from its name's first quote to the end of its value.
struct Member {
  std::uint32_t begin = 0;
  std::uint32_t name_size = 0;
  std::uint32_t size = 0;
};

// Of an object that daemon/json wrote: no white space, member names without escapes, less than 4 GiB.
std::vector<Member> members_of(std::string_view object);

// Appends the object with those of its members only that are named, in its own order. A name that it does not have adds
// nothing.
void append_selected(std::string& out, std::string_view object, std::span<const Member> members,
                     const FieldNames& names);

}  // namespace frisket::http
