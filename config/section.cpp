#include "config/section.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <stdexcept>

#include "probes/model/ascii.h"

namespace frisket::config {
namespace {

constexpr std::size_t kLongestArgument = 4096;

bool is_one_line(std::string_view text) { return !model::has_control_characters(text); }

bool has_nul(std::string_view text) { return text.find('\0') != std::string_view::npos; }

bool in_bounds(const Key& key, double value) { return value >= key.least && value <= key.most; }

bool is_legal_text(const Key& key, std::string_view text) {
  const bool fits = in_bounds(key, static_cast<double>(text.size()));
  switch (key.type) {
    case Type::text:
    case Type::secret:
      return fits && is_one_line(text);
    case Type::name:
      return is_name(text);
    case Type::word:
      return std::ranges::find(key.words, text) != key.words.end();
    case Type::address: {
      const auto address = parse_address(text);
      return address && address->kind != Address::Kind::other;
    }
    case Type::listener:
      return text.empty() || parse_endpoint(text).has_value();
    case Type::endpoint:
      return parse_endpoint(text).has_value();
    case Type::zone:
      return is_zone_name(text);
    case Type::path:
      return fits && !has_nul(text);
    default:
      return false;
  }
}

bool is_legal_entry(Type type, std::string_view text) {
  switch (type) {
    case Type::name_list:
      return is_name(text);
    case Type::keyword_list:
      return is_keyword(text);
    default:
      return text.size() <= kLongestArgument && !has_nul(text);
  }
}

std::optional<Milliseconds> legal_duration(const Key& key, std::string_view text) {
  const auto duration = parse_duration(text);
  if (!duration || !in_bounds(key, static_cast<double>(duration->count()))) return std::nullopt;
  if (key.type == Type::seconds && *duration % std::chrono::seconds{1} != Milliseconds{0}) return std::nullopt;
  return duration;
}

std::optional<double> number_in(const toml::node& node) {
  if (const auto* whole = node.as_integer()) return static_cast<double>(whole->get());
  if (const auto* real = node.as_floating_point()) return real->get();
  return std::nullopt;
}

template <class T>
T fallback_of(const Key& key) {
  const auto* value = std::get_if<T>(&key.fallback);
  return value ? *value : T{};
}

}  // namespace

Place place_of(const toml::source_region& source) {
  return {static_cast<int>(source.begin.line), static_cast<int>(source.begin.column)};
}

std::string found_text(const toml::node& node) {
  if (const auto* text = node.as_string()) return in_quotes(text->get());
  if (const auto* whole = node.as_integer()) return std::to_string(whole->get());
  if (const auto* real = node.as_floating_point()) return std::to_string(real->get());
  if (const auto* truth = node.as_boolean()) return truth->get() ? "true" : "false";
  if (node.is_table()) return "a table";
  if (node.is_array()) return "a list";
  return "a date or a time";
}

Section::Section(const toml::table& table, std::string_view name, std::string_view shown, Findings& findings)
    : table_(table), shown_(shown), keys_(keys_of(name)), findings_(findings) {
  check_keys();
}

void Section::check_keys() {
  for (const auto& [key, node] : table_) {
    if (std::ranges::find(keys_, key.str(), &Key::name) != keys_.end()) continue;
    // [rules.supply] holds one section for each kind beside its own keys; its reader checks them.
    if (shown_ == "rules.supply" && node.is_table()) continue;
    std::vector<std::string_view> names;
    for (const auto& known : keys_) names.push_back(known.name);
    findings_.error(place_of(key.source()), std::string(shown_) + ": unknown key " + in_quotes(key.str()) +
                                                suggestion(key.str(), names) + ", allowed: " + any_of(names));
  }
}

const Key& Section::row(std::string_view key) const {
  const auto found = std::ranges::find(keys_, key, &Key::name);
  if (found == keys_.end()) throw std::logic_error("not in the table of keys: " + std::string(key));
  return *found;
}

Place Section::place(std::string_view key) const {
  const auto* node = table_.get(key);
  return node ? place_of(*node) : place_of(table_);
}

void Section::error(std::string_view key, std::string_view what) {
  findings_.error(place(key), std::string(shown_) + "." + std::string(key) + ": " + std::string(what));
}

void Section::warn(std::string_view key, std::string_view what) {
  findings_.warning(place(key), std::string(shown_) + "." + std::string(key) + ": " + std::string(what));
}

void Section::refuse(std::string_view key, std::string_view found, std::string_view what_is_allowed) {
  error(key, "found " + std::string(found) + ", allowed: " + std::string(what_is_allowed));
}

void Section::refuse_value(const Key& key, const toml::node& node) {
  std::string what_is_allowed = allowed(key);
  if (key.type == Type::word && node.is_string()) what_is_allowed += suggestion(node.as_string()->get(), key.words);
  const bool hidden = key.type == Type::secret && !node.is_table() && !node.is_array();
  refuse(key.name, hidden ? "a value that is not shown" : found_text(node), what_is_allowed);
}

const toml::node* Section::value(const Key& key) {
  const auto* node = table_.get(key.name);
  if (!node && key.required()) error(key.name, "missing, allowed: " + allowed(key));
  return node;
}

std::string Section::text(std::string_view name) {
  const auto& key = row(name);
  if (const auto* node = value(key)) {
    const auto* text = node->as_string();
    if (text && is_legal_text(key, text->get())) return text->get();
    refuse_value(key, *node);
  }
  return std::string(fallback_of<std::string_view>(key));
}

bool Section::flag(std::string_view name) {
  const auto& key = row(name);
  if (const auto* node = value(key)) {
    if (const auto* truth = node->as_boolean()) return truth->get();
    refuse_value(key, *node);
  }
  return fallback_of<bool>(key);
}

std::int64_t Section::integer(std::string_view name) {
  const auto& key = row(name);
  if (const auto* node = value(key)) {
    const auto* whole = node->as_integer();
    if (whole && in_bounds(key, static_cast<double>(whole->get()))) return whole->get();
    refuse_value(key, *node);
  }
  return fallback_of<std::int64_t>(key);
}

double Section::number(std::string_view name) {
  const auto& key = row(name);
  if (const auto* node = value(key)) {
    const auto found = number_in(*node);
    if (found && std::isfinite(*found) && in_bounds(key, *found)) return *found;
    refuse_value(key, *node);
  }
  return fallback_of<double>(key);
}

Milliseconds Section::duration(std::string_view name) {
  const auto& key = row(name);
  if (const auto* node = value(key)) {
    if (const auto* text = node->as_string())
      if (const auto duration = legal_duration(key, text->get())) return *duration;
    refuse_value(key, *node);
  }
  return parse_duration(fallback_of<std::string_view>(key)).value_or(Milliseconds{0});
}

std::vector<Entry> Section::list(std::string_view name) {
  const auto& key = row(name);
  const auto* node = value(key);
  if (!node) return {};
  const auto* array = node->as_array();
  if (!array || !in_bounds(key, static_cast<double>(array->size()))) {
    refuse(name, array ? "a list of " + std::to_string(array->size()) : found_text(*node), allowed(key));
    return {};
  }
  std::vector<Entry> entries;
  for (const auto& element : *array) {
    const auto* text = element.as_string();
    if (!text || !is_legal_entry(key.type, text->get())) {
      findings_.error(place_of(element), std::string(shown_) + "." + std::string(name) + ": found " +
                                             found_text(element) + ", allowed: " + allowed(key));
      continue;
    }
    const bool twice =
        key.type != Type::text_list && std::ranges::find(entries, text->get(), &Entry::text) != entries.end();
    if (twice) {
      findings_.error(place_of(element), std::string(shown_) + "." + std::string(name) + ": found " +
                                             in_quotes(text->get()) + " twice, allowed: once");
      continue;
    }
    entries.push_back({text->get(), place_of(element)});
  }
  return entries;
}

}  // namespace frisket::config
