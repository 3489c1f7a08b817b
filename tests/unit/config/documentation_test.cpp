// docs/configuration.md has exactly the keys that the loader has, word for word.
#include <algorithm>
#include <catch2/catch.hpp>
#include <set>
#include <sstream>

#include "config/keys.h"
#include "fixture.h"

namespace frisket::config {
namespace {

// A row of the page: "| `port` | integer | `161` | a whole number from 1 to 65535 | UDP port ... |".
std::string row(const Key& key) {
  const auto code = [](const std::string& text) {
    return text == "required" || text == "none" ? text : "`" + text + "`";
  };
  return "| `" + std::string(key.name) + "` | " + std::string(type_text(key.type)) + " | " + code(fallback_text(key)) +
         " | " + allowed(key) + " | " + std::string(key.meaning) + " |";
}

std::vector<std::string> rows_in_code() {
  std::vector<std::string> rows;
  for (const auto& key : all_keys()) rows.push_back(row(key));
  return rows;
}

std::vector<std::string> rows_in_page() {
  std::ifstream page(std::string(FRISKET_SOURCE_DIR) + "/docs/configuration.md");
  REQUIRE(page);
  std::vector<std::string> rows;
  for (std::string line; std::getline(page, line);)
    if (line.starts_with("| `")) rows.push_back(line);
  return rows;
}

TEST_CASE("the page describes every key, in the table's order, and no other") {
  CHECK(rows_in_page() == rows_in_code());
}

TEST_CASE("every section of the table is one that the page has a heading for") {
  std::ifstream stream(std::string(FRISKET_SOURCE_DIR) + "/docs/configuration.md");
  const std::string page{std::istreambuf_iterator<char>(stream), {}};
  std::set<std::string> sections;
  for (const auto& key : all_keys()) sections.insert(std::string(key.section));
  for (const auto& section : sections)
    CHECK((page.find("## `[" + section + "]`") != std::string::npos ||
           page.find("## `[[" + section + "]]`") != std::string::npos));
}

TEST_CASE("each default is itself a value that the key allows, and stands for the same") {
  const Garden garden;
  std::string text;
  std::string_view section;
  for (const auto& key : all_keys()) {
    if (key.section.ends_with("KIND") || key.section == "site" || key.section == "credential" ||
        key.section == "device" || key.section == "spooler" || key.section == "queue" || key.section == "maintenance" ||
        key.section == "hook" || key.section == "supplier" || key.section == "part" || key.section == "task")
      continue;
    if (std::holds_alternative<Nothing>(key.fallback)) continue;
    if (key.section != section) text += "[" + std::string(section = key.section) + "]\n";
    text += std::string(key.name) + " = " + fallback_text(key) + "\n";
  }
  const auto spelt_out = garden.load(text);
  for (const auto& finding : spelt_out.findings) UNSCOPED_INFO(finding.text());
  CHECK(spelt_out.findings.empty());
  CHECK(spelt_out.config == garden.load("").config);
}

}  // namespace
}  // namespace frisket::config
