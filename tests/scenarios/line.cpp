#include "line.h"

#include <charconv>

namespace frisket::scenarios {
namespace {

std::optional<std::int32_t> number_in(std::string_view text) {
  std::int32_t value = 0;
  const auto* end = text.data() + text.size();
  const auto [stop, failure] = std::from_chars(text.data(), end, value);
  if (failure != std::errc{} || stop != end) return std::nullopt;
  return value;
}

}  // namespace

Line::Line(int number, std::string_view text) : number_(number), indented_(text.starts_with(' ')) {
  while (!text.empty()) {
    const auto start = text.find_first_not_of(" \t\r");
    if (start == text.npos || text[start] == '#') break;
    text.remove_prefix(start);
    if (text.front() == '"') {
      const auto end = text.find('"', 1);
      if (end == text.npos) refuse("a quote is not closed");
      words_.push_back({std::string(text.substr(1, end - 1)), true});
      text.remove_prefix(end + 1);
    } else {
      const auto end = std::min(text.find_first_of(" \t\r"), text.size());
      words_.push_back({std::string(text.substr(0, end)), false});
      text.remove_prefix(end);
    }
  }
}

std::string Line::word(std::string_view what) {
  if (done()) refuse("the line ends where " + std::string(what) + " should be");
  return words_[next_++].text;
}

bool Line::take(std::string_view word) {
  if (done() || words_[next_].quoted || words_[next_].text != word) return false;
  ++next_;
  return true;
}

std::optional<std::string> Line::quoted() {
  if (done() || !words_[next_].quoted) return std::nullopt;
  return words_[next_++].text;
}

std::int32_t Line::integer(std::string_view what) {
  const auto said = word(what);
  const auto value = number_in(said);
  if (!value) refuse("'" + said + "' is no number, where " + std::string(what) + " should be");
  return *value;
}

model::Milliseconds Line::time(std::string_view what) {
  const auto said = word(what);
  std::int64_t seconds = 0;
  int parts = 0;
  for (std::size_t start = 0; start <= said.size(); ++parts) {
    const auto end = std::min(said.find(':', start), said.size());
    const auto part = number_in(std::string_view(said).substr(start, end - start));
    if (!part || *part < 0) refuse("'" + said + "' is no time like 01:30 or 02:00:00");
    seconds = seconds * 60 + *part;
    start = end + 1;
  }
  if (parts < 2 || parts > 3) refuse("'" + said + "' is no time like 01:30 or 02:00:00");
  return std::chrono::seconds(seconds);
}

void Line::must_be_done() const {
  if (!done()) refuse("nothing should follow, but '" + words_[next_].text + "' does");
}

std::int32_t Line::listed_number(std::string_view what, std::span<const model::EnumName> rows) {
  const auto said = word(what);
  for (const auto& row : rows)
    if (row.label == said) return row.value;
  if (const auto value = number_in(said)) return *value;
  refuse("'" + said + "' is no " + std::string(what) + " that the standard lists, and no number");
}

}  // namespace frisket::scenarios
