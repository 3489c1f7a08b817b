#include "tests/simfleet/toml_reader.h"

#include <charconv>

#include "tests/simfleet/labels.h"

namespace frisket::simfleet {
namespace {

std::string place(const toml::source_region& source) {
  return (source.path ? *source.path : std::string("?")) + ":" + std::to_string(source.begin.line) + ":" +
         std::to_string(source.begin.column) + ": ";
}

}  // namespace

toml::table parse_file(const std::filesystem::path& file) {
  try {
    return toml::parse_file(file.string());
  } catch (const toml::parse_error& error) {
    if (error.source().begin.line == 0) throw FileError(file.string() + ": " + std::string(error.description()));
    throw FileError(place(error.source()) + std::string(error.description()));
  }
}

void fail(const toml::node& where, const std::string& what) { throw FileError(place(where.source()) + what); }

const toml::node* TableReader::node(std::string_view key) {
  asked_.emplace(key);
  return table_.get(key);
}

bool TableReader::has(std::string_view key) { return node(key) != nullptr; }

std::string TableReader::text(std::string_view key, std::optional<std::string> otherwise) {
  const auto* found = node(key);
  if (found == nullptr && otherwise) return *otherwise;
  if (found == nullptr) fail(table_, "needs " + std::string(key));
  const auto value = found->value_exact<std::string>();
  if (!value) fail(*found, std::string(key) + ": allowed: a text");
  return *value;
}

std::int64_t TableReader::integer(std::string_view key, std::optional<std::int64_t> otherwise, std::int64_t least,
                                  std::int64_t most) {
  const auto* found = node(key);
  if (found == nullptr && otherwise) return *otherwise;
  if (found == nullptr) fail(table_, "needs " + std::string(key));
  const auto value = found->value_exact<std::int64_t>();
  if (!value || *value < least || *value > most) {
    fail(*found,
         std::string(key) + ": allowed: a whole number from " + std::to_string(least) + " to " + std::to_string(most));
  }
  return *value;
}

double TableReader::number(std::string_view key, std::optional<double> otherwise, double least, double most) {
  const auto* found = node(key);
  if (found == nullptr && otherwise) return *otherwise;
  if (found == nullptr) fail(table_, "needs " + std::string(key));
  const auto value = found->value<double>();
  if (!value || !(*value >= least && *value <= most)) {
    fail(*found,
         std::string(key) + ": allowed: a number from " + std::to_string(least) + " to " + std::to_string(most));
  }
  return *value;
}

bool TableReader::flag(std::string_view key, bool otherwise) {
  const auto* found = node(key);
  if (found == nullptr) return otherwise;
  const auto value = found->value_exact<bool>();
  if (!value) fail(*found, std::string(key) + ": allowed: true or false");
  return *value;
}

std::vector<std::string> TableReader::texts(std::string_view key) {
  std::vector<std::string> values;
  const auto* found = node(key);
  if (found == nullptr) return values;
  const auto* array = found->as_array();
  if (array == nullptr) fail(*found, std::string(key) + ": allowed: a list of texts");
  for (const auto& item : *array) {
    const auto value = item.value_exact<std::string>();
    if (!value) fail(item, std::string(key) + ": allowed: a list of texts");
    values.push_back(*value);
  }
  return values;
}

std::int32_t TableReader::label(std::string_view key, std::string_view type, std::optional<std::string> otherwise) {
  const std::string name = text(key, std::move(otherwise));
  const auto value = label_value(type, name);
  if (!value) {
    const auto* found = table_.get(key);
    fail(found != nullptr ? *found : static_cast<const toml::node&>(table_),
         std::string(key) + ": \"" + name + "\" is not one of " + label_names(type));
  }
  return *value;
}

std::vector<const toml::table*> TableReader::tables(std::string_view key) {
  std::vector<const toml::table*> found;
  const auto* value = node(key);
  if (value == nullptr) return found;
  const auto* array = value->as_array();
  if (array == nullptr) fail(*value, std::string(key) + ": allowed: [[" + std::string(key) + "]]");
  for (const auto& item : *array) {
    if (!item.is_table()) fail(item, std::string(key) + ": allowed: tables");
    found.push_back(item.as_table());
  }
  return found;
}

const toml::table* TableReader::table(std::string_view key) {
  const auto* value = node(key);
  if (value == nullptr) return nullptr;
  if (!value->is_table()) fail(*value, std::string(key) + ": allowed: a table");
  return value->as_table();
}

void TableReader::finish() const {
  for (const auto& [key, value] : table_) {
    if (asked_.find(key.str()) == asked_.end()) fail(value, "unknown key " + std::string(key.str()));
  }
}

std::optional<std::int64_t> parse_milliseconds(std::string_view text) {
  if (text.empty()) return std::nullopt;
  std::int64_t total = 0;
  while (!text.empty()) {
    std::int64_t amount = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), amount);
    if (error != std::errc{} || amount < 0 || amount > 1'000'000'000) return std::nullopt;
    text.remove_prefix(static_cast<std::size_t>(end - text.data()));
    const auto unit = text.substr(0, text.find_first_of("0123456789"));
    const std::int64_t each = unit == "ms"  ? 1
                              : unit == "s" ? 1000
                              : unit == "m" ? 60'000
                              : unit == "h" ? 3'600'000
                              : unit == "d" ? 86'400'000
                                            : 0;
    if (each == 0) return std::nullopt;
    total += amount * each;
    text.remove_prefix(unit.size());
  }
  return total;
}

}  // namespace frisket::simfleet
