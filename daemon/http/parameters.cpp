#include "daemon/http/parameters.h"

#include <limits>

namespace frisket::http {
namespace {

constexpr std::size_t kMaxLimit = 10000;

}  // namespace

void Parameters::refuse(std::string why) {
  if (!why_) why_ = std::move(why);
}

void Parameters::allow(std::initializer_list<std::string_view> names) {
  for (auto place = query_.begin(); place != query_.end(); ++place) {
    if (std::ranges::find(names, place->first) == names.end()) {
      std::string allowed;
      for (const auto name : names) allowed.append(allowed.empty() ? "" : ", ").append(name);
      refuse("no parameter '" + place->first + "' here; allowed: " + (allowed.empty() ? "none" : allowed));
    }
    const bool again =
        std::any_of(query_.begin(), place, [&](const auto& earlier) { return earlier.first == place->first; });
    if (again) refuse("parameter '" + place->first + "' comes twice; give several values with commas");
  }
}

std::optional<std::string_view> Parameters::find(std::string_view name) const {
  const auto found = std::ranges::find_if(query_, [&](const auto& parameter) { return parameter.first == name; });
  if (found == query_.end()) return std::nullopt;
  return found->second;
}

std::set<std::string> Parameters::texts(std::string_view name) {
  std::set<std::string> values;
  auto rest = find(name);
  if (!rest) return values;
  if (rest->empty()) refuse("parameter " + std::string(name) + " is empty");
  while (!rest->empty()) {
    const auto comma = rest->find(',');
    values.emplace(rest->substr(0, comma));
    if (comma == rest->npos) break;
    rest->remove_prefix(comma + 1);
  }
  return values;
}

std::optional<std::string> Parameters::text(std::string_view name) {
  const auto value = find(name);
  if (!value) return std::nullopt;
  if (value->empty()) refuse("parameter " + std::string(name) + " is empty");
  return std::string(*value);
}

std::optional<bool> Parameters::flag(std::string_view name) {
  const auto value = find(name);
  if (!value) return std::nullopt;
  if (*value != "true" && *value != "false")
    refuse("parameter " + std::string(name) + " is '" + std::string(*value) + "'; allowed: true, false");
  return *value == "true";
}

std::uint64_t Parameters::number(std::string_view name, std::string_view value) {
  std::uint64_t number = 0;
  const auto [end, error] = std::from_chars(value.data(), value.data() + value.size(), number);
  constexpr std::uint64_t kMost = std::numeric_limits<std::int64_t>::max();  // SQLite's
  if (error != std::errc{} || end != value.data() + value.size() || number < 1 || number > kMost)
    refuse("parameter " + std::string(name) + " is '" + std::string(value) + "'; allowed: a whole number from 1 on");
  return number;
}

FieldNames Parameters::fields(const std::function<json::Json()>& known) {
  const auto wanted = texts("fields");
  if (wanted.empty()) return {};
  const auto all = known();
  for (const auto& name : wanted) {
    if (all.contains(name)) continue;
    std::string allowed;
    for (const auto& field : all.items()) allowed.append(allowed.empty() ? "" : ", ").append(field.key());
    refuse("parameter fields is '" + name + "'; allowed: " + allowed);
  }
  return {wanted.begin(), wanted.end()};
}

Window Parameters::window() {
  Window window;
  if (const auto limit = find("limit")) {
    const auto [end, error] = std::from_chars(limit->data(), limit->data() + limit->size(), window.limit);
    if (error != std::errc{} || end != limit->data() + limit->size() || window.limit < 1 || window.limit > kMaxLimit)
      refuse("parameter limit is '" + std::string(*limit) + "'; allowed: 1 to " + std::to_string(kMaxLimit));
  }
  if (const auto after = find("after")) {
    if (after->empty()) refuse("parameter after is empty");
    window.after = *after;
  }
  return window;
}

}  // namespace frisket::http
