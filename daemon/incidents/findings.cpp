#include "daemon/incidents/findings.h"

#include <algorithm>
#include <array>
#include <vector>

#include "daemon/incidents/keywords.h"
#include "probes/model/ascii.h"

namespace frisket::incidents {
namespace {

using model::Alert;
using model::AlertCode;
using model::AlertGroup;
using model::AlertSeverity;
using model::DeviceSnapshot;
using model::Subunit;
using model::Supply;
using model::SupplyType;

template <class Row>
const Row* find_row(const std::vector<Row>& rows, std::int32_t index) {
  for (const auto& row : rows)
    if (row.index == index) return &row;
  return nullptr;
}

// The words for one kind of supply.
struct SupplyWords {
  std::string_view low;
  std::string_view empty;
};

SupplyWords words_for(const Supply& supply) {
  switch (supply.type) {
    case SupplyType::toner:
    case SupplyType::toner_cartridge:
    case SupplyType::matte_toner:
      return {"toner-low", "toner-empty"};
    case SupplyType::ink:
    case SupplyType::ink_cartridge:
    case SupplyType::matte_ink:
      return {"marker-ink-almost-empty", "marker-ink-empty"};
    case SupplyType::ink_ribbon:
    case SupplyType::ribbon_wax:
      return {"marker-print-ribbon-almost-empty", "marker-print-ribbon-empty"};
    case SupplyType::developer:
      return {"developer-low", "developer-empty"};
    case SupplyType::opc:
      return {"opc-near-eol", "opc-life-over"};
    case SupplyType::staples:
      return {"stapler-almost-empty", "stapler-empty"};
    case SupplyType::stitching_wire:
      return {"stitcher-almost-empty", "stitcher-empty"};
    case SupplyType::waste_toner:
      return {"marker-waste-toner-receptacle-almost-full", "marker-waste-toner-receptacle-full"};
    case SupplyType::waste_ink:
      return {"marker-waste-ink-receptacle-almost-full", "marker-waste-ink-receptacle-full"};
    case SupplyType::waste_wax:
    case SupplyType::waste_water:
    case SupplyType::waste_paper:
      return {"marker-waste-almost-full", "marker-waste-full"};
    default:
      break;
  }
  if (supply.is_receptacle()) return {"marker-waste-almost-full", "marker-waste-full"};
  return {"marker-supply-low", "marker-supply-empty"};
}

std::string generic_input(AlertCode code) {
  switch (code) {
    case AlertCode::subunit_missing:
    case AlertCode::subunit_opened:
      return "input-tray-missing";
    case AlertCode::subunit_almost_empty:
    case AlertCode::subunit_near_limit:
      return "media-low";
    case AlertCode::subunit_empty:
    case AlertCode::subunit_at_limit:
      return "media-empty";
    default:
      return {};
  }
}

std::string generic_output(AlertCode code) {
  switch (code) {
    case AlertCode::subunit_missing:
    case AlertCode::subunit_opened:
      return "output-tray-missing";
    case AlertCode::subunit_almost_full:
    case AlertCode::subunit_near_limit:
      return "output-area-almost-full";
    case AlertCode::subunit_full:
    case AlertCode::subunit_at_limit:
      return "output-area-full";
    default:
      return {};
  }
}

std::string generic_media_path(AlertCode code) {
  switch (code) {
    case AlertCode::subunit_missing:
      return "media-path-media-tray-missing";
    case AlertCode::subunit_almost_full:
      return "media-path-media-tray-almost-full";
    case AlertCode::subunit_full:
      return "media-path-media-tray-full";
    default:
      return {};
  }
}

// Temperatures, timing and thermistors of a marker are its fuser's.
std::string generic_marker(AlertCode code) {
  switch (code) {
    case AlertCode::subunit_under_temperature:
      return "fuser-under-temp";
    case AlertCode::subunit_over_temperature:
      return "fuser-over-temp";
    case AlertCode::subunit_timing_failure:
      return "marker-fuser-timing-failure";
    case AlertCode::subunit_thermistor_failure:
      return "marker-fuser-thermistor-failure";
    default:
      return {};
  }
}

std::string generic_supply(AlertCode code, const Supply* supply) {
  switch (code) {
    case AlertCode::subunit_missing:
      return supply_missing_keyword(supply);
    case AlertCode::subunit_almost_empty:
    case AlertCode::subunit_almost_full:
    case AlertCode::subunit_near_limit:
    case AlertCode::subunit_life_almost_over:
      return supply_keyword(supply, Stage::low);
    case AlertCode::subunit_empty:
    case AlertCode::subunit_full:
    case AlertCode::subunit_at_limit:
    case AlertCode::subunit_life_over:
      return supply_keyword(supply, Stage::empty);
    default:
      return {};
  }
}

// Which supplies a special code of the 11xx family can be about.
std::vector<const Supply*> supplies_named_by(AlertCode code, const DeviceSnapshot& snapshot) {
  const bool missing = code == AlertCode::marker_toner_cartridge_missing;
  const auto keyword = missing ? std::string("toner-low") : meaning_of(code).keyword;
  std::vector<const Supply*> named;
  for (const auto& supply : snapshot.supplies) {
    const auto words = words_for(supply);
    const bool developer = keyword.find("developer") != std::string::npos && supply.type == SupplyType::developer;
    if (words.low == keyword || words.empty == keyword || developer) named.push_back(&supply);
  }
  return named;
}

bool mentions(std::string_view text, std::string_view word) {
  return !word.empty() && !std::ranges::search(text, word, {}, model::lower_case, model::lower_case).empty();
}

// The supply that a row is about, though it does not point at a supply row: by the
// colorant the text names, else the only one of its kind.
std::int32_t supply_meant(const Alert& alert, const DeviceSnapshot& snapshot) {
  auto candidates = supplies_named_by(alert.code, snapshot);
  if (candidates.size() == 1) return candidates.front()->index;
  std::erase_if(candidates, [&](const Supply* supply) { return !mentions(alert.description, supply->colorant); });
  return candidates.size() == 1 ? candidates.front()->index : 0;
}

// No code says that a supply is there and is the wrong one; the row's text does. Common practice, no source.
bool says_mismatch(const Alert& alert) {
  switch (alert.code) {
    case AlertCode::other:
    case AlertCode::unknown:
    case AlertCode::subunit_unrecoverable_failure:
    case AlertCode::subunit_recoverable_failure:
    case AlertCode::subunit_unrecoverable_storage_error:
      break;
    default:
      return false;
  }
  constexpr std::array<std::string_view, 8> kWords = {"wrong",    "incompatible", "unsupported", "not supported",
                                                      "mismatch", "not recogni",  "invalid",     "incorrect"};
  return std::ranges::any_of(kWords, [&](std::string_view word) { return mentions(alert.description, word); });
}

bool is_supply_code(AlertCode code) {
  return code >= AlertCode::marker_toner_empty && code <= AlertCode::marker_toner_cartridge_missing;
}

std::string one_word(const std::string& keyword) {
  if (keyword == "door-open") return "cover-open";
  if (keyword == "marker-developer-almost-empty") return "developer-low";
  if (keyword == "marker-developer-empty") return "developer-empty";
  return keyword;
}

// Rows that point at a colorant mean the supply that holds it.
Subunit subunit_meant(const Alert& alert, const DeviceSnapshot& snapshot) {
  if (alert.group == AlertGroup::marker_colorant && alert.group_index > 0) {
    for (const auto& supply : snapshot.supplies)
      if (supply.colorant_index == alert.group_index) return {Subunit::Kind::supply, supply.index};
  }
  const auto subunit = alert.subunit();
  const bool opened = alert.code == AlertCode::cover_open || alert.code == AlertCode::door_open ||
                      alert.code == AlertCode::interlock_open;
  const bool says_where = subunit.index > 0 && subunit.kind != Subunit::Kind::other;
  if (opened && !says_where) {
    const auto open = [](const model::Cover& cover) { return cover.open(); };
    const bool one = std::ranges::count_if(snapshot.covers, open) == 1;
    return {Subunit::Kind::cover, one ? std::ranges::find_if(snapshot.covers, open)->index : 0};
  }
  if (is_supply_code(alert.code) && (subunit.kind != Subunit::Kind::supply || subunit.index == 0))
    return {Subunit::Kind::supply, supply_meant(alert, snapshot)};
  return subunit;
}

std::string specific_keyword(const Alert& alert, const Subunit& subunit, const DeviceSnapshot& snapshot) {
  using Kind = Subunit::Kind;
  switch (subunit.kind) {
    case Kind::input:
      return generic_input(alert.code);
    case Kind::output:
      return generic_output(alert.code);
    case Kind::media_path:
      return generic_media_path(alert.code);
    case Kind::marker:
      return generic_marker(alert.code);
    case Kind::supply:
      if (says_mismatch(alert)) return "supply-mismatch";
      return generic_supply(alert.code, find_supply(snapshot, subunit.index));
    case Kind::cover:
      return alert.code == AlertCode::subunit_opened ? "cover-open" : "";
    default:
      return {};
  }
}

}  // namespace

std::string supply_keyword(const Supply* supply, Stage stage) {
  if (supply == nullptr) return stage == Stage::empty ? "marker-supply-empty" : "marker-supply-low";
  const auto words = words_for(*supply);
  return std::string(stage == Stage::empty ? words.empty : words.low);
}

std::string supply_missing_keyword(const Supply* supply) {
  if (supply != nullptr && words_for(*supply).low == "toner-low") return "marker-toner-cartridge-missing";
  return "marker-supply-missing";
}

std::optional<Finding> finding_of(const Alert& alert, const DeviceSnapshot& snapshot) {
  const auto meaning = meaning_of(alert.code);
  const auto subunit = subunit_meant(alert, snapshot);
  if (meaning.lasting == Lasting::event) {
    // "Opened" as a state with an end (critical or binary) is a tray or cover that stands open;
    // as a unary change event it only says that somebody opened it.
    const bool state =
        alert.severity == AlertSeverity::critical || alert.severity == AlertSeverity::warning_binary_change_event;
    if (alert.code != AlertCode::subunit_opened || !state) return std::nullopt;
    auto keyword = specific_keyword(alert, subunit, snapshot);
    if (keyword.empty()) return std::nullopt;
    return Finding{std::move(keyword), subunit};
  }
  if (auto keyword = specific_keyword(alert, subunit, snapshot); !keyword.empty())
    return Finding{std::move(keyword), subunit};
  return Finding{one_word(meaning.keyword), subunit};
}

const Supply* find_supply(const DeviceSnapshot& snapshot, std::int32_t index) {
  return find_row(snapshot.supplies, index);
}
const model::Input* find_input(const DeviceSnapshot& snapshot, std::int32_t index) {
  return find_row(snapshot.inputs, index);
}
const model::Output* find_output(const DeviceSnapshot& snapshot, std::int32_t index) {
  return find_row(snapshot.outputs, index);
}
const model::Cover* find_cover(const DeviceSnapshot& snapshot, std::int32_t index) {
  return find_row(snapshot.covers, index);
}

}  // namespace frisket::incidents
