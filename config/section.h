// One table of the file, read key by key against the table of keys. Private to the layer.
#pragma once

#include <toml++/toml.h>

#include <string>
#include <string_view>
#include <vector>

#include "config/findings.h"
#include "config/keys.h"
#include "config/syntax.h"

namespace frisket::config {

Place place_of(const toml::source_region& source);
inline Place place_of(const toml::node& node) { return place_of(node.source()); }

// What stands there, for a message: `"soon"`, `17`, `a table`.
std::string found_text(const toml::node& node);

struct Entry {
  std::string text;
  Place place;
};

// A value that is missing though required, of the wrong type or out of bounds is added to the
// findings, and the getter gives the fallback, or an empty value where there is none. So
// reading goes on, and finds the rest.
class Section {
 public:
  // Refuses unknown keys at once. `name` is the section's in the table of keys, `shown` is what
  // messages call it. Everything passed must outlive the Section.
  Section(const toml::table& table, std::string_view name, std::string_view shown, Findings& findings);

  // Same, where the name can be shown as it is.
  Section(const toml::table& table, std::string_view name, Findings& findings) : Section(table, name, name, findings) {}

  std::string name() const { return std::string(shown_); }

  // The file has the key, with whatever value.
  bool has(std::string_view key) const { return table_.contains(key); }

  // Of the key's value, or of the section where the key is absent.
  Place place(std::string_view key) const;

  // For all types that are strings in the file, as the file spells them.
  std::string text(std::string_view key);
  bool flag(std::string_view key);
  std::int64_t integer(std::string_view key);
  double number(std::string_view key);
  Milliseconds duration(std::string_view key);
  std::vector<Entry> list(std::string_view key);

  // Adds "device.site: found ..., allowed: ..." at the key's place.
  void refuse(std::string_view key, std::string_view found, std::string_view what_is_allowed);
  void warn(std::string_view key, std::string_view what);
  // Adds "device.site: what" at the key's place.
  void error(std::string_view key, std::string_view what);

  Findings& findings() { return findings_; }

 private:
  const Key& row(std::string_view key) const;
  // The value in the file; null where it is absent, which is a finding if it is required.
  const toml::node* value(const Key& key);
  void refuse_value(const Key& key, const toml::node& node);
  void check_keys();

  const toml::table& table_;
  std::string_view shown_;
  std::span<const Key> keys_;
  Findings& findings_;
};

}  // namespace frisket::config
