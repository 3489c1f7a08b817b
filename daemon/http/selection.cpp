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

void append_selected(std::string& out, std::string_view object, const FieldNames& names) {
  if (names.empty()) {
    out += object;
    return;
  }
  std::size_t wanted = names.size();
  char before = '{';
  for (std::size_t place = 1; wanted > 0 && place < object.size() && object[place] == '"';) {
    const auto colon = end_of_string(object, place);
    const auto end = end_of_value(object, colon + 1);
    if (std::ranges::find(names, object.substr(place + 1, colon - place - 2)) != names.end()) {
      out.append(1, before).append(object.substr(place, end - place));
      before = ',';
      --wanted;  // those that are wanted mostly stand in front: the rest need not be looked at
    }
    place = end + 1;
  }
  out += before == '{' ? "{}" : "}";
}

}  // namespace frisket::http
