#include "daemon/http/selection.h"

#include <algorithm>

namespace frisket::http {
namespace {

// Behind the string that begins at `place`.
std::size_t end_of_string(std::string_view text, std::size_t place) {
  for (++place; place < text.size() && text[place] != '"'; ++place)
    if (text[place] == '\\') ++place;
  return std::min(place + 1, text.size());
}

// Behind the value that begins at `place`.
std::size_t end_of_value(std::string_view text, std::size_t place) {
  for (int depth = 0; place < text.size();) {
    const char c = text[place];
    if (c == '"') {
      place = end_of_string(text, place);
      continue;
    }
    if (c == '{' || c == '[') ++depth;
    if (depth == 0 && (c == ',' || c == '}')) return place;
    if (c == '}' || c == ']') --depth;
    ++place;
  }
  return place;
}

}  // namespace

std::vector<Member> members_of(std::string_view object) {
  std::vector<Member> members;
  for (std::size_t place = 1; place < object.size() && object[place] == '"';) {
    const auto colon = end_of_string(object, place);
    const auto end = end_of_value(object, colon + 1);
    members.push_back({static_cast<std::uint32_t>(place), static_cast<std::uint32_t>(colon - place - 2),
                       static_cast<std::uint32_t>(end - place)});
    place = end + 1;
  }
  return members;
}

void append_selected(std::string& out, std::string_view object, std::span<const Member> members,
                     const FieldNames& names) {
  std::size_t wanted = names.size();
  char before = '{';
  for (const auto& member : members) {
    if (wanted == 0) break;  // those that are wanted mostly stand in front
    const auto name = object.substr(member.begin + 1, member.name_size);
    if (std::ranges::find(names, name) == names.end()) continue;
    out.append(1, before).append(object.substr(member.begin, member.size));
    before = ',';
    --wanted;
  }
  out += before == '{' ? "{}" : "}";
}

}  // namespace frisket::http
