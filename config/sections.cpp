#include "config/sections.h"

namespace frisket::config {
namespace {

std::string brackets(std::string_view name, bool twice) {
  const std::string text(name);
  return twice ? "[[" + text + "]]" : "[" + text + "]";
}

}  // namespace

void Names::add(Section& section, const std::string& name) {
  if (name.empty()) return;
  const auto place = section.place("name");
  const auto [entry, fresh] = first_.try_emplace(name, place);
  if (fresh) return;
  section.refuse("name", in_quotes(name),
                 "a name of its own; line " + std::to_string(entry->second.line) + " has it already");
}

std::optional<std::string> Names::only() const {
  if (first_.size() != 1) return std::nullopt;
  return first_.begin()->first;
}

bool Names::check(std::string_view referrer, const std::string& name, Place place, Findings& findings) const {
  if (first_.contains(name)) return true;
  std::vector<std::string_view> known;
  constexpr std::size_t kMostSearched = 256;
  for (const auto& [listed, where] : first_)
    if (known.size() < kMostSearched) known.push_back(listed);
  findings.error(place, std::string(referrer) + ": found " + in_quotes(name) + ", allowed: the name of a " +
                            brackets(section_, true) + suggestion(name, known));
  return false;
}

std::vector<const toml::table*> repeated(const Reading& reading, std::string_view name) {
  const auto* node = reading.root.get(name);
  if (!node) return {};
  std::vector<const toml::table*> tables;
  const auto refuse = [&](const toml::node& found) {
    reading.findings.error(place_of(found), std::string(name) + ": found " + found_text(found) +
                                                ", allowed: sections written " + brackets(name, true));
  };
  const auto* array = node->as_array();
  if (!array) {
    refuse(*node);
    return {};
  }
  for (const auto& element : *array) {
    if (const auto* table = element.as_table())
      tables.push_back(table);
    else
      refuse(element);
  }
  return tables;
}

const toml::table* single(const toml::table& parent, std::string_view name, std::string_view shown,
                          Findings& findings) {
  const auto* node = parent.get(name);
  if (!node) return nullptr;
  if (const auto* table = node->as_table()) return table;
  findings.error(place_of(*node), std::string(shown) + ": found " + found_text(*node) +
                                      ", allowed: one section written " + brackets(shown, false));
  return nullptr;
}

}  // namespace frisket::config
