#include "daemon/incidents/second_voices.h"

#include <algorithm>
#include <array>
#include <span>
#include <string>
#include <string_view>

#include "daemon/incidents/findings.h"
#include "daemon/incidents/kinds.h"
#include "daemon/incidents/witnesses.h"
#include "probes/model/ascii.h"

namespace frisket::incidents {
namespace {

using model::DeviceSnapshot;
using model::ErrorBit;
using Part = Subunit::Kind;

// What panels call things, in English, German, French, Spanish, Italian and Dutch; parts of words, in lower
// case. Common practice, no source.
constexpr std::array<std::string_view, 6> kJamWords = {"jam", "stau", "bourrage", "atasco", "inceppa", "vastgelopen"};
constexpr std::array<std::string_view, 11> kCoverWords = {
    "cover", "door", "klappe", "abdeckung", "capot", "porte", "cubierta", "puerta", "sportello", "coperchio", "klep"};
constexpr std::array<std::string_view, 6> kTrayWords = {"tray", "fach", "bac ", "bandeja", "cassetto", "lade"};
constexpr std::array<std::string_view, 6> kPaperWords = {"paper", "papier", "papel", "carta", "load", "tray"};
constexpr std::array<std::string_view, 11> kSupplyWords = {"toner", "ink",   "cartridge", "drum",     "waste",  "tinte",
                                                           "encre", "tinta", "cartouche", "cartucho", "trommel"};

std::span<const std::string_view> words_for(const Condition& condition) {
  const auto family = kind_of(condition.keyword).family;
  if (family == "jam") return kJamWords;
  if (family == "cover") return kCoverWords;
  if (condition.keyword == "input-tray-missing") return kTrayWords;
  if (family == "input") return kPaperWords;
  if (family == "supply") return kSupplyWords;
  return {};
}

// A line that names another colour is about another cartridge.
bool names_another_colour(std::string_view line, const Condition& condition, const DeviceSnapshot& snapshot) {
  if (condition.subunit.kind != Part::supply) return false;
  const auto* own = find_supply(snapshot, condition.subunit.index);
  return std::ranges::any_of(snapshot.supplies, [&](const model::Supply& other) {
    if (other.colorant.empty() || (own != nullptr && other.colorant == own->colorant)) return false;
    return line.find(model::in_lower_case(other.colorant)) != std::string_view::npos &&
           (own == nullptr || own->colorant.empty() ||
            line.find(model::in_lower_case(own->colorant)) == std::string_view::npos);
  });
}

void add(Condition& condition, Witness witness) {
  const auto order = [](const Witness& a, const Witness& b) {
    return std::tie(a.contradicts, a.source, a.says) < std::tie(b.contradicts, b.source, b.says);
  };
  const auto place = std::ranges::lower_bound(condition.witnesses, witness, order);
  if (place != condition.witnesses.end() && *place == witness) return;
  condition.witnesses.insert(place, std::move(witness));
}

void contradict(Condition& condition, Witness::Source source, std::string says) {
  add(condition, {source, std::move(says), true});
}

void hear_level(Condition& condition, const DeviceSnapshot& snapshot, const config::Rules& rules) {
  const auto* supply = find_supply(snapshot, condition.subunit.index);
  if (supply == nullptr || says(condition, Witness::Source::level)) return;
  const auto percent = supply->percent();
  if (!percent || *percent < threshold_for(*supply, rules).clear_at) return;
  contradict(condition, Witness::Source::level, "level " + std::to_string(static_cast<int>(*percent)) + " %");
}

void hear_tray_level(Condition& condition, const DeviceSnapshot& snapshot) {
  const auto* input = find_input(snapshot, condition.subunit.index);
  if (input == nullptr || condition.keyword != "media-empty") return;
  const auto left = model::amount_of(input->current_level);
  if (left && *left > 0) contradict(condition, Witness::Source::level, "prtInputCurrentLevel " + std::to_string(*left));
}

void hear_cover_status(Condition& condition, const DeviceSnapshot& snapshot) {
  const auto* cover = find_cover(snapshot, condition.subunit.index);
  if (cover == nullptr) return;
  if (cover->status == model::CoverStatus::cover_closed || cover->status == model::CoverStatus::interlock_closed)
    contradict(condition, Witness::Source::subunit_status, "prtCoverStatus " + model::label(cover->status));
}

void hear_jam_bit(Condition& condition, const DeviceSnapshot& snapshot) {
  if (!snapshot.host.errors || snapshot.host.errors->has(ErrorBit::jammed)) return;
  contradict(condition, Witness::Source::error_bits, "hrPrinterDetectedErrorState without jammed");
}

}  // namespace

void hear_console(std::vector<Condition>& conditions, const DeviceSnapshot& snapshot) {
  for (const auto& line : snapshot.console) {
    const auto text = model::in_lower_case(line.text);
    for (auto& condition : conditions) {
      const auto words = words_for(condition);
      const auto said = [&](std::string_view word) { return text.find(word) != std::string::npos; };
      if (std::ranges::none_of(words, said) || names_another_colour(text, condition, snapshot)) continue;
      add(condition, {Witness::Source::console, "the panel shows '" + line.text + "'"});
    }
  }
}

void hear_contradictions(std::vector<Condition>& conditions, const DeviceSnapshot& snapshot,
                         const config::Rules& rules) {
  for (auto& condition : conditions) {
    const auto family = kind_of(condition.keyword).family;
    if (family == "supply") hear_level(condition, snapshot, rules);
    if (family == "input") hear_tray_level(condition, snapshot);
    if (family == "cover") hear_cover_status(condition, snapshot);
    if (condition.keyword == "media-jam") hear_jam_bit(condition, snapshot);
  }
}

}  // namespace frisket::incidents
