// [rules], [rules.supply] and [rules.supply.KIND].
#include <algorithm>
#include <array>

#include "config/sections.h"

namespace frisket::config {
namespace {

using model::SupplyType;

// Parts that wear and receptacles that fill do so slowly and evenly, so a warning at 5 % still
// leaves weeks; consumables keep the general thresholds. Common practice, no source.
constexpr SupplyThreshold kSlow{5.0, 1.0, 10.0};
constexpr std::array kSlowKinds = {
    SupplyType::waste_toner,    SupplyType::waste_ink,    SupplyType::opc,
    SupplyType::waste_wax,      SupplyType::fuser,        SupplyType::corona_wire,
    SupplyType::fuser_oil_wick, SupplyType::cleaner_unit, SupplyType::fuser_cleaning_pad,
    SupplyType::transfer_unit,  SupplyType::fuser_oiler,  SupplyType::waste_water,
    SupplyType::waste_paper,    SupplyType::developer,
};

// Takes from the file what it has; the rest stays as it is.
SupplyThreshold read_threshold(Section& section, SupplyThreshold threshold) {
  if (section.has("low_at")) threshold.low_at = section.number("low_at");
  if (section.has("nearly_empty_at")) threshold.nearly_empty_at = section.number("nearly_empty_at");
  if (section.has("clear_at")) threshold.clear_at = section.number("clear_at");
  const auto shown = [](double value) {
    auto text = std::to_string(value);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.ends_with('.')) text.pop_back();
    return text;
  };
  const std::string low = shown(threshold.low_at);
  if (threshold.clear_at <= threshold.low_at)
    section.refuse("clear_at", shown(threshold.clear_at), "more than low_at, which is " + low);
  if (threshold.nearly_empty_at > threshold.low_at)
    section.refuse("nearly_empty_at", shown(threshold.nearly_empty_at), "at most low_at, which is " + low);
  return threshold;
}

void read_kinds(Reading& reading, const toml::table& supply, Rules& rules) {
  const auto kinds = model::listed<SupplyType>();
  for (const auto& [key, node] : supply) {
    const auto* table = node.as_table();
    if (!table) continue;  // a key of [rules.supply] itself
    const auto kind = std::ranges::find(kinds, key.str(), &model::EnumName::label);
    if (kind == kinds.end()) {
      std::vector<std::string_view> labels;
      for (const auto& row : kinds) labels.push_back(row.label);
      reading.findings.error(place_of(key.source()), "rules.supply: unknown kind of supply " + in_quotes(key.str()) +
                                                         suggestion(key.str(), labels) +
                                                         ", allowed: " + any_of(labels));
      continue;
    }
    const auto type = static_cast<SupplyType>(kind->value);
    const auto built_in = rules.supply_kinds.find(type);
    const auto start = built_in == rules.supply_kinds.end() ? rules.supply : built_in->second;
    const std::string shown = "rules.supply." + std::string(kind->label);
    Section section(*table, "rules.supply.KIND", shown, reading.findings);
    rules.supply_kinds[type] = read_threshold(section, start);
  }
}

Seconds seconds_in(Section& section, std::string_view key) {
  return std::chrono::duration_cast<Seconds>(section.duration(key));
}

void read_waits(Section& section, Rules& rules) {
  rules.cover_grace = seconds_in(section, "cover_grace");
  rules.misload_after = seconds_in(section, "misload_after");
  rules.misload_within = seconds_in(section, "misload_within");
  rules.jam_repeats = static_cast<int>(section.integer("jam_repeats"));
  rules.jam_within = seconds_in(section, "jam_within");
  rules.returns_within = seconds_in(section, "returns_within");
  rules.proof_within = seconds_in(section, "proof_within");
  rules.job_stuck_after = seconds_in(section, "job_stuck_after");
  rules.backlog_age = seconds_in(section, "backlog_age");
  rules.backlog_jobs = static_cast<int>(section.integer("backlog_jobs"));
}

}  // namespace

Rules read_rules(Reading& reading) {
  Rules rules;
  for (const auto kind : kSlowKinds) rules.supply_kinds[kind] = kSlow;
  const auto* table = single(reading.root, "rules", "rules", reading.findings);
  if (!table) return rules;
  auto own_keys = *table;
  own_keys.erase("supply");  // a section of its own
  Section own(own_keys, "rules", reading.findings);
  read_waits(own, rules);
  const auto* supply = single(*table, "supply", "rules.supply", reading.findings);
  if (!supply) return rules;
  Section section(*supply, "rules.supply", reading.findings);
  rules.supply = read_threshold(section, rules.supply);
  read_kinds(reading, *supply, rules);
  return rules;
}

}  // namespace frisket::config
