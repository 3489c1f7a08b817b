// Covers, supplies, trays and bins: what their own rows say.
#include <algorithm>
#include <cmath>
#include <cstdio>

#include "daemon/incidents/witnesses.h"

namespace frisket::incidents {
namespace {

using model::DeviceSnapshot;
using model::Input;
using model::Output;
using model::Supply;

std::string percent_text(double percent) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%.3g %%", percent);
  return text.data();
}

bool has_none_left(const model::Level& level, const model::Capacity& capacity) {
  const bool not_fitted = model::amount_of(capacity) == 0;
  return model::amount_of(level) == 0 && !not_fitted;
}

// A level falls through the thresholds as they are and has to rise above them by the
// hysteresis before it counts as better. Unknown and "some left" say nothing: a supply that was low
// stays low (many devices lose their levels while a cover is open), one that was not never gets low.
Stage stage_of(const Supply& supply, Stage before, const config::SupplyThreshold& threshold) {
  if (has_none_left(supply.level, supply.max_capacity)) return Stage::empty;
  if (std::holds_alternative<model::Unlimited>(supply.level)) return Stage::fine;
  const auto percent = supply.percent();
  if (!percent) return model::amount_of(supply.level) ? Stage::fine : before;
  const double gap = threshold.clear_at - threshold.low_at;
  if (before == Stage::empty && *percent <= threshold.nearly_empty_at) return Stage::empty;
  if (*percent <= threshold.nearly_empty_at) return Stage::nearly_empty;
  if (before >= Stage::nearly_empty && *percent < std::min(threshold.nearly_empty_at + gap, threshold.clear_at))
    return Stage::nearly_empty;
  if (*percent <= threshold.low_at) return Stage::low;
  if (before >= Stage::low && *percent < threshold.clear_at) return Stage::low;
  return Stage::fine;
}

std::string level_says(const Supply& supply, const config::SupplyThreshold& threshold) {
  const auto left = model::amount_of(supply.level);
  const std::string what = supply.is_receptacle() ? "room left " : "level ";
  if (!left) return what + "not known now, low when last known";
  std::string says = what + std::to_string(*left);
  if (const auto most = model::amount_of(supply.max_capacity)) says += " of " + std::to_string(*most);
  if (const auto percent = supply.percent()) says += " (" + percent_text(*percent) + ")";
  return says + ", low at " + percent_text(threshold.low_at);
}

bool same_media(const Input& a, const Input& b) {
  if (!a.media_name.empty() || !b.media_name.empty()) return a.media_name == b.media_name;
  return a.media_type == b.media_type;
}

bool another_has_room(const Output& full, const DeviceSnapshot& snapshot) {
  return std::ranges::any_of(snapshot.outputs, [&](const Output& other) {
    return other.index != full.index && !has_none_left(other.remaining_capacity, other.max_capacity);
  });
}

void hear_input(Hearing& hearing, const Input& input) {
  using Availability = model::SubunitStatus::Availability;
  const Subunit subunit{Subunit::Kind::input, input.index};
  const bool waits = input.status.availability == Availability::on_request && input.status.critical_alerts;
  const bool empty = has_none_left(input.current_level, input.max_capacity);
  const bool manual = input.type == model::InputType::sheet_feed_manual;
  // A tray that is pulled out counts as empty in many devices; that it is out is enough to know.
  if (hearing.claims.find("input-tray-missing", subunit) != nullptr) return;
  if (empty && (!manual || waits)) {
    auto& claim = hearing.claims.add("media-empty", subunit, {Witness::Source::level, "prtInputCurrentLevel 0"});
    claim.critical_row = claim.critical_row || input.status.critical_alerts;
    claim.lasting_row = true;
  }
  if (waits) {
    const Witness witness{Witness::Source::subunit_status, "prtInputStatus " + model::to_text(input.status)};
    const bool explained =
        hearing.claims.add_to([&](const std::string&, const Subunit& at) { return at == subunit; }, witness);
    if (!explained) hearing.claims.add("media-needed", subunit, witness).critical_row = true;
  }
}

}  // namespace

bool fed_by_another(const Input& empty, const DeviceSnapshot& snapshot) {
  using Availability = model::SubunitStatus::Availability;
  return std::ranges::any_of(snapshot.inputs, [&](const Input& other) {
    return other.index != empty.index && other.type != model::InputType::sheet_feed_manual &&
           same_media(empty, other) && !has_none_left(other.current_level, other.max_capacity) &&
           other.status.availability != Availability::broken && !other.status.critical_alerts;
  });
}

const config::SupplyThreshold& threshold_for(const Supply& supply, const config::Rules& rules) {
  const auto own = rules.supply_kinds.find(supply.type);
  return own == rules.supply_kinds.end() ? rules.supply : own->second;
}

void hear_covers(Hearing& hearing) {
  for (const auto& cover : hearing.snapshot.covers) {
    if (!cover.open()) continue;
    const auto* keyword = cover.status == model::CoverStatus::interlock_open ? "interlock-open" : "cover-open";
    hearing.claims.add(keyword, {Subunit::Kind::cover, cover.index},
                       {Witness::Source::subunit_status, "prtCoverStatus " + model::label(cover.status)});
  }
}

void hear_supplies(Hearing& hearing) {
  for (const auto& supply : hearing.snapshot.supplies) {
    const auto earlier = hearing.before.stages.find(supply.index);
    const auto before = earlier == hearing.before.stages.end() ? Stage::fine : earlier->second;
    const auto& threshold = threshold_for(supply, hearing.rules);
    const auto stage = stage_of(supply, before, threshold);
    if (stage == Stage::fine) continue;
    hearing.after.stages[supply.index] = stage;
    auto& claim = hearing.claims.add(supply_keyword(&supply, stage), {Subunit::Kind::supply, supply.index},
                                     {Witness::Source::level, level_says(supply, threshold)});
    claim.lasting_row = true;
    if (stage == Stage::nearly_empty) claim.at_least = Severity::minor;
  }
}

void hear_inputs(Hearing& hearing) {
  for (const auto& input : hearing.snapshot.inputs) hear_input(hearing, input);
  for (auto& [key, claim] : hearing.claims.all()) {
    if (key.second != "media-empty") continue;
    const auto* input = find_input(hearing.snapshot, key.first.index);
    if (input != nullptr && !fed_by_another(*input, hearing.snapshot)) claim.at_least = Severity::major;
  }
}

void hear_outputs(Hearing& hearing) {
  for (const auto& output : hearing.snapshot.outputs) {
    if (!has_none_left(output.remaining_capacity, output.max_capacity)) continue;
    auto& claim = hearing.claims.add("output-area-full", {Subunit::Kind::output, output.index},
                                     {Witness::Source::level, "prtOutputRemainingCapacity 0"});
    claim.lasting_row = true;
    claim.critical_row = claim.critical_row || output.status.critical_alerts;
    if (!another_has_room(output, hearing.snapshot)) claim.at_least = Severity::major;
  }
}

}  // namespace frisket::incidents
