// The parameters of one request's query, read and checked.
//
// Whatever a route does not know, or cannot read, is refused with what it would have
// understood: a misspelt filter must not look like an answer. Pure.
#pragma once

#include <algorithm>
#include <array>
#include <charconv>
#include <functional>
#include <initializer_list>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>

#include "daemon/http/fleet_board.h"
#include "daemon/http/target.h"
#include "daemon/json/forms.h"

namespace frisket::http {

class Parameters {
 public:
  explicit Parameters(const Target& target) : query_(target.query) {}

  // Sets why() if there is a parameter that is not in the list, or one that comes twice.
  void allow(std::initializer_list<std::string_view> names);

  // Comma-separated values, as they are.
  std::set<std::string> texts(std::string_view name);

  // Comma-separated values that are words of an enumeration.
  template <class E, std::size_t N>
  std::set<E> words(std::string_view name, const std::array<E, N>& all);

  // As it is.
  std::optional<std::string> text(std::string_view name);

  std::optional<bool> flag(std::string_view name);

  // A whole number above 0, which `value` has to be.
  std::uint64_t number(std::string_view name, std::string_view value);

  // limit and after.
  Window window();

  // Those named by `fields`, which `known` has to give: an object with every field.
  FieldNames fields(const std::function<json::Json()>& known);

  // What was wrong first; nothing if all is well.
  const std::optional<std::string>& why() const { return why_; }

  // For a route's own checks.
  void refuse(std::string why);

 private:
  std::optional<std::string_view> find(std::string_view name) const;

  const std::vector<std::pair<std::string, std::string>>& query_;
  std::optional<std::string> why_;
};

template <class E, std::size_t N>
std::set<E> Parameters::words(std::string_view name, const std::array<E, N>& all) {
  std::set<E> found;
  for (const auto& text : texts(name)) {
    const auto match = std::ranges::find_if(all, [&](E value) { return to_text(value) == text; });
    if (match != all.end()) {
      found.insert(*match);
      continue;
    }
    std::string allowed;
    for (const auto value : all) allowed.append(allowed.empty() ? "" : ", ").append(to_text(value));
    refuse("parameter " + std::string(name) + " is '" + text + "'; allowed: " + allowed);
  }
  return found;
}

}  // namespace frisket::http
