// hrPrinterDetectedErrorState (RFC 2790): general, so it counts as a second voice where a row or a
// level has said it in detail, and speaks for itself only where nobody has.
#include <algorithm>
#include <array>
#include <set>
#include <span>

#include "daemon/incidents/kinds.h"
#include "daemon/incidents/witnesses.h"

namespace frisket::incidents {
namespace {

using model::DeviceSnapshot;
using model::ErrorBit;
using model::HostDeviceStatus;
using model::Input;
using model::SubunitStatus;
using model::Supply;
using Part = Subunit::Kind;

// What a bit says where nobody says more, and what else it can be said of.
struct BitMeaning {
  ErrorBit bit;
  std::string_view keyword;
  Part subunit;
  std::string_view family;  // of conditions that it witnesses besides those of its own keyword
};

constexpr std::array kMeanings = {
    BitMeaning{ErrorBit::jammed, "media-jam", Part::media_path, "jam"},
    BitMeaning{ErrorBit::input_tray_missing, "input-tray-missing", Part::input, ""},
    // After the trays: a tray that is out can be what the door switch says.
    BitMeaning{ErrorBit::door_open, "cover-open", Part::cover, "cover"},
    BitMeaning{ErrorBit::output_tray_missing, "output-tray-missing", Part::output, ""},
    BitMeaning{ErrorBit::no_paper, "media-empty", Part::input, "input"},
    BitMeaning{ErrorBit::input_tray_empty, "media-empty", Part::input, ""},
    BitMeaning{ErrorBit::low_paper, "media-low", Part::input, "input"},
    BitMeaning{ErrorBit::no_toner, "marker-supply-empty", Part::supply, "supply"},
    BitMeaning{ErrorBit::marker_supply_missing, "marker-supply-missing", Part::supply, ""},
    BitMeaning{ErrorBit::low_toner, "marker-supply-low", Part::supply, "supply"},
    BitMeaning{ErrorBit::output_full, "output-area-full", Part::output, ""},
    BitMeaning{ErrorBit::output_near_full, "output-area-almost-full", Part::output, "output"},
    BitMeaning{ErrorBit::overdue_prevent_maint, "overdue-prevent-maint", Part::device, ""},
};

bool is_one_of(std::string_view keyword, std::span<const std::string_view> words) {
  return std::ranges::find(words, keyword) != words.end();
}

constexpr std::array<std::string_view, 3> kMissingSupply = {"marker-toner-cartridge-missing", "marker-supply-missing",
                                                            "subunit-missing"};
constexpr std::array<std::string_view, 3> kMissing = {"marker-toner-cartridge-missing", "marker-supply-missing",
                                                      "input-tray-missing"};

// "No toner" is more than toner-low can say.
bool says_none_left(ErrorBit bit) { return bit == ErrorBit::no_toner || bit == ErrorBit::no_paper; }

bool witnesses(const BitMeaning& meaning, const std::string& keyword) {
  if (keyword == meaning.keyword) return true;
  if (says_none_left(meaning.bit) && !kind_of(keyword).stops) return false;
  if (meaning.bit == ErrorBit::marker_supply_missing) return is_one_of(keyword, kMissingSupply);
  return !meaning.family.empty() && family_of(keyword) == meaning.family;
}

bool holds_marking_material(const Supply& supply) {
  const auto low = supply_keyword(&supply, Stage::low);
  constexpr std::array<std::string_view, 3> kWords = {"toner-low", "marker-ink-almost-empty",
                                                      "marker-print-ribbon-almost-empty"};
  return is_one_of(low, kWords);
}

// The supply that "low toner" means: the only one there is, or the only one that is not far above low.
const Supply* supply_meant(const Hearing& hearing) {
  std::vector<const Supply*> candidates;
  for (const auto& supply : hearing.snapshot.supplies)
    if (holds_marking_material(supply)) candidates.push_back(&supply);
  if (candidates.size() == 1) return candidates.front();
  std::erase_if(candidates, [&](const Supply* supply) {
    const auto percent = supply->percent();
    return !percent || *percent > 2 * threshold_for(*supply, hearing.rules).low_at;
  });
  return candidates.size() == 1 ? candidates.front() : nullptr;
}

// Where the device has toner (or ink) only, its word is used even if the supply is not known.
const Supply* any_marking_supply(const DeviceSnapshot& snapshot) {
  const auto found = std::ranges::find_if(snapshot.supplies, holds_marking_material);
  return found == snapshot.supplies.end() ? nullptr : &*found;
}

std::string supply_word(const BitMeaning& meaning, const Supply* supply) {
  if (meaning.bit == ErrorBit::marker_supply_missing) return supply_missing_keyword(supply);
  return supply_keyword(supply, meaning.bit == ErrorBit::no_toner ? Stage::empty : Stage::low);
}

bool is_troubled(const SubunitStatus& status) {
  return status.critical_alerts || status.availability == SubunitStatus::Availability::broken;
}

template <class Rows>
void collect_troubled(const Rows& rows, Part part, std::vector<Subunit>& troubled) {
  for (const auto& row : rows)
    if (is_troubled(row.status)) troubled.push_back({part, row.index});
}

// The one subunit whose own status says that the trouble is there.
std::optional<Subunit> troubled_subunit(const BitMeaning& meaning, const DeviceSnapshot& snapshot) {
  std::vector<Subunit> troubled;
  const bool jam = meaning.bit == ErrorBit::jammed;
  if (jam) collect_troubled(snapshot.media_paths, Part::media_path, troubled);
  if (jam || meaning.subunit == Part::input) collect_troubled(snapshot.inputs, Part::input, troubled);
  if (jam || meaning.subunit == Part::output) collect_troubled(snapshot.outputs, Part::output, troubled);
  if (troubled.size() != 1) return std::nullopt;
  return troubled.front();
}

const Input* empty_bypass(const DeviceSnapshot& snapshot) {
  for (const auto& input : snapshot.inputs)
    if (input.type == model::InputType::sheet_feed_manual && model::amount_of(input.current_level) == 0) return &input;
  return nullptr;
}

// The tray that is out, where only the bit says that one is: the one whose status says it is broken or speaks of a
// critical alert; else the one that counts as empty, as many devices have it of a tray that is out; else the one
// whose status speaks of any alert.
std::optional<Subunit> tray_that_is_out(const DeviceSnapshot& snapshot) {
  const auto is_out = [](const Input& input) { return is_troubled(input.status); };
  const auto is_empty = [](const Input& input) { return model::amount_of(input.current_level) == 0; };
  const auto alerts = [](const Input& input) { return input.status.non_critical_alerts; };
  using Speaks = bool (*)(const Input&);
  for (const Speaks speaks : {Speaks{is_out}, Speaks{is_empty}, Speaks{alerts}}) {
    std::vector<Subunit> found;
    for (const auto& input : snapshot.inputs)
      if (input.type != model::InputType::sheet_feed_manual && speaks(input))
        found.push_back({Part::input, input.index});
    if (found.size() == 1) return found.front();
    if (!found.empty()) return std::nullopt;
  }
  return std::nullopt;
}

bool is_about_paper(ErrorBit bit) {
  return bit == ErrorBit::no_paper || bit == ErrorBit::input_tray_empty || bit == ErrorBit::low_paper;
}

// Whether the bit means no more than a bypass tray without paper. If the printer has stopped and
// nothing else is said to have stopped it, then it is waiting for exactly that tray.
enum class Bypass { not_meant, idle, awaited };

Bypass bypass_meant(const BitMeaning& meaning, const Hearing& hearing) {
  if (!is_about_paper(meaning.bit) || empty_bypass(hearing.snapshot) == nullptr) return Bypass::not_meant;
  const bool stopped = hearing.snapshot.host.device == HostDeviceStatus::down;
  const bool awaited = stopped && meaning.bit == ErrorBit::no_paper && !hearing.claims.any_critical_row();
  return awaited ? Bypass::awaited : Bypass::idle;
}

// A condition that was placed before and that nothing disproves stays where it was: its row may have
// been pushed out of a full table (RFC 3805 section 2.2.13.4).
const Condition* remembered(const BitMeaning& meaning, const Hearing& hearing) {
  const bool own_word = meaning.subunit == Part::supply || meaning.subunit == Part::input;
  for (const auto& earlier : hearing.before.conditions) {
    if (earlier.subunit.index == 0 || !witnesses(meaning, earlier.keyword)) continue;
    if (says(earlier, Witness::Source::history)) continue;  // a conclusion of ours
    // A supply that was missing, or empty, is no witness that it is low now.
    if (own_word && kind_of(earlier.keyword).stops != kind_of(meaning.keyword).stops) continue;
    if (own_word && is_one_of(earlier.keyword, kMissing) != is_one_of(meaning.keyword, kMissing)) continue;
    if (!is_disproved(earlier, hearing.snapshot, hearing.rules)) return &earlier;
  }
  return nullptr;
}

// What is low, or was when last heard of, is what has run out: the only supply or tray of which
// anything is said.
std::int32_t place_of_what_was_low(const BitMeaning& meaning, const Hearing& hearing) {
  std::set<std::int32_t> places;
  const auto consider = [&](const std::string& keyword, const Subunit& subunit) {
    if (subunit.kind != meaning.subunit || subunit.index == 0 || family_of(keyword) != meaning.family) return;
    Condition run_out;
    run_out.keyword = meaning.keyword;
    run_out.subunit = subunit;
    if (!is_disproved(run_out, hearing.snapshot, hearing.rules)) places.insert(subunit.index);
  };
  for (const auto& [key, claim] : hearing.claims.all()) consider(key.second, key.first);
  if (places.empty())
    for (const auto& earlier : hearing.before.conditions) consider(earlier.keyword, earlier.subunit);
  return places.size() == 1 ? *places.begin() : 0;
}

void speak_for_itself(Hearing& hearing, const BitMeaning& meaning, const Witness& witness) {
  if (const auto* known = remembered(meaning, hearing)) {
    hearing.claims.add(known->keyword, known->subunit, witness);
    return;
  }
  if (const auto index = says_none_left(meaning.bit) ? place_of_what_was_low(meaning, hearing) : 0; index > 0) {
    const auto word = meaning.subunit == Part::supply ? supply_word(meaning, find_supply(hearing.snapshot, index))
                                                      : std::string(meaning.keyword);
    hearing.claims.add(word, {meaning.subunit, index}, witness);
    return;
  }
  const auto bypass = bypass_meant(meaning, hearing);
  if (bypass == Bypass::idle) return;
  if (bypass == Bypass::awaited) {
    hearing.claims.add("media-empty", {Part::input, empty_bypass(hearing.snapshot)->index}, witness);
    return;
  }
  if (meaning.subunit == Part::supply) {
    const auto* supply = supply_meant(hearing);
    const auto word = supply_word(meaning, supply != nullptr ? supply : any_marking_supply(hearing.snapshot));
    hearing.claims.add(word, {Part::supply, supply != nullptr ? supply->index : 0}, witness);
    return;
  }
  const auto place = meaning.bit == ErrorBit::input_tray_missing ? tray_that_is_out(hearing.snapshot)
                                                                 : troubled_subunit(meaning, hearing.snapshot);
  hearing.claims.add(std::string(meaning.keyword), place.value_or(Subunit{meaning.subunit, 0}), witness);
}

// A tray that is pulled out trips the door switch of many devices: if every cover says it is closed,
// the tray is what is open.
bool door_is_a_tray(Hearing& hearing, const Witness& witness) {
  const auto& covers = hearing.snapshot.covers;
  const auto closed = [](const model::Cover& cover) {
    return cover.status == model::CoverStatus::cover_closed || cover.status == model::CoverStatus::interlock_closed;
  };
  if (covers.empty() || !std::ranges::all_of(covers, closed)) return false;
  return hearing.claims.add_to(
      [](const std::string& keyword, const Subunit&) { return keyword == "input-tray-missing"; }, witness);
}

Witness bit_witness(ErrorBit bit) {
  return {Witness::Source::error_bits, "hrPrinterDetectedErrorState " + std::string(model::to_text(bit))};
}

// Service is asked for by reason of something. Only where nothing else is wrong is it a
// condition of its own.
void hear_service_requested(Hearing& hearing) {
  const auto witness = bit_witness(ErrorBit::service_requested);
  const auto serious = [](const std::string& keyword, const Subunit&) { return kind_of(keyword).problem; };
  if (!hearing.claims.add_to(serious, witness)) hearing.claims.add("service-requested", {}, witness);
}

void hear_offline(Hearing& hearing) {
  const auto witness = bit_witness(ErrorBit::offline);
  const auto stops = [](const std::string& keyword, const Subunit&) { return kind_of(keyword).stops; };
  if (!hearing.claims.add_to(stops, witness)) hearing.claims.add("offline", {}, witness);
}

}  // namespace

void hear_error_bits(Hearing& hearing) {
  const auto& bits = hearing.snapshot.host.errors;
  if (!bits) return;
  for (const auto& meaning : kMeanings) {
    if (!bits->has(meaning.bit)) continue;
    const auto witness = bit_witness(meaning.bit);
    if (meaning.bit == ErrorBit::door_open && door_is_a_tray(hearing, witness)) continue;
    const auto same = [&](const std::string& keyword, const Subunit&) { return witnesses(meaning, keyword); };
    if (!hearing.claims.add_to(same, witness)) speak_for_itself(hearing, meaning, witness);
  }
  if (bits->has(ErrorBit::offline)) hear_offline(hearing);
  if (bits->has(ErrorBit::service_requested)) hear_service_requested(hearing);
}

}  // namespace frisket::incidents
