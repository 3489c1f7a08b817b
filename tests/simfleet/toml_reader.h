// Reading description files: every key is asked for once, what was not asked for is refused,
// and every error says file, line and column.
//
// Throws FileError, whose text is fit to be shown; simfleet ends at the first one.
#pragma once

#include <toml++/toml.h>

#include <cstdint>
#include <filesystem>
#include <optional>
#include <set>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace frisket::simfleet {

class FileError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

toml::table parse_file(const std::filesystem::path& file);

// "models/x.toml:12:3: what"
[[noreturn]] void fail(const toml::node& where, const std::string& what);

// One table of a file, which must outlive the reader.
class TableReader {
 public:
  explicit TableReader(const toml::table& table) : table_(table) {}

  bool has(std::string_view key);
  std::string text(std::string_view key, std::optional<std::string> otherwise = std::nullopt);
  std::int64_t integer(std::string_view key, std::optional<std::int64_t> otherwise, std::int64_t least,
                       std::int64_t most);
  double number(std::string_view key, std::optional<double> otherwise, double least, double most);
  bool flag(std::string_view key, bool otherwise);
  std::vector<std::string> texts(std::string_view key);

  // A label of a textual convention (labels.h).
  std::int32_t label(std::string_view key, std::string_view type, std::optional<std::string> otherwise = std::nullopt);

  // The tables of an array of tables; empty if the key is missing.
  std::vector<const toml::table*> tables(std::string_view key);
  const toml::table* table(std::string_view key);
  const toml::node* node(std::string_view key);
  const toml::table& whole() const { return table_; }

  // Refuses keys that nobody asked for.
  void finish() const;

 private:
  const toml::table& table_;
  std::set<std::string, std::less<>> asked_;
};

// "30s", "500ms", "10m", "2h", "3d", or several: "1h30m". nullopt for anything else.
std::optional<std::int64_t> parse_milliseconds(std::string_view text);

}  // namespace frisket::simfleet
