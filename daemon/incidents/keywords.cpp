#include "daemon/incidents/keywords.h"

#include <algorithm>
#include <array>
#include <optional>
#include <string_view>
#include <utility>

namespace frisket::incidents {
namespace {

using model::AlertCode;

// Keywords that are not the code's label in kebab case: the older words of RFC 8011
// section 5.4.12 (tests/facts/alert-to-ipp.tsv says which pairing was read where).
constexpr std::array<std::pair<AlertCode, std::string_view>, 13> kOlderWords = {{
    {AlertCode::jam, "media-jam"},
    {AlertCode::input_media_tray_missing, "input-tray-missing"},
    {AlertCode::input_media_supply_low, "media-low"},
    {AlertCode::input_media_supply_empty, "media-empty"},
    {AlertCode::output_media_tray_missing, "output-tray-missing"},
    {AlertCode::output_media_tray_almost_full, "output-area-almost-full"},
    {AlertCode::output_media_tray_full, "output-area-full"},
    {AlertCode::marker_fuser_under_temperature, "fuser-under-temp"},
    {AlertCode::marker_fuser_over_temperature, "fuser-over-temp"},
    {AlertCode::marker_toner_empty, "toner-empty"},
    {AlertCode::marker_toner_almost_empty, "toner-low"},
    {AlertCode::marker_opc_life_almost_over, "opc-near-eol"},
    {AlertCode::marker_opc_life_over, "opc-life-over"},
}};

// Codes that tell of something that has happened, not of something that is so. An end edge
// (cover closed) is one of them: the conditions it ends are gone from the table anyway.
constexpr std::array kEvents = {
    AlertCode::cover_closed,
    AlertCode::interlock_closed,
    AlertCode::configuration_change,
    AlertCode::subunit_opened,
    AlertCode::subunit_closed,
    AlertCode::subunit_turned_on,
    AlertCode::subunit_turned_off,
    AlertCode::subunit_added,
    AlertCode::subunit_removed,
    AlertCode::subunit_resource_added,
    AlertCode::subunit_resource_removed,
    AlertCode::door_closed,
    AlertCode::power_up,
    AlertCode::power_down,
    AlertCode::printer_nms_reset,
    AlertCode::printer_manual_reset,
    AlertCode::printer_ready_to_print,
    AlertCode::input_media_size_change,
    AlertCode::input_media_weight_change,
    AlertCode::input_media_type_change,
    AlertCode::input_media_color_change,
    AlertCode::input_media_form_parts_change,
    AlertCode::interpreter_memory_increase,
    AlertCode::interpreter_memory_decrease,
    AlertCode::interpreter_cartridge_added,
    AlertCode::interpreter_cartridge_deleted,
    AlertCode::interpreter_resource_added,
    AlertCode::interpreter_resource_deleted,
    AlertCode::interpreter_complex_page_encountered,
    AlertCode::alert_removal_of_binary_change_entry,
};

// The finishing devices of RFC 3806, in the order of their code families: 302xx is the
// stapler, 318xx the inserter. A family's code is 30000 + 100 * n + the generic code 3..38.
constexpr std::int32_t kFirstFinisher = 302;
constexpr std::array<std::string_view, 17> kFinishers = {
    "stapler", "stitcher",          "folder",    "binder",  "trimmer", "die-cutter",    "puncher", "perforater",
    "slitter", "separation-cutter", "imprinter", "wrapper", "bander",  "make-envelope", "stacker", "sheet-rotator",
    "inserter"};
constexpr std::int32_t kFirstGeneric = 3;
constexpr std::int32_t kLastGeneric = 38;

Lasting lasting_of(AlertCode code) {
  return std::ranges::find(kEvents, code) == kEvents.end() ? Lasting::condition : Lasting::event;
}

std::optional<CodeMeaning> finisher_meaning(std::int32_t number) {
  const std::int32_t family = number / 100 - kFirstFinisher;
  const std::int32_t generic = number % 100;
  if (family < 0 || family >= static_cast<std::int32_t>(kFinishers.size())) return std::nullopt;
  if (generic < kFirstGeneric || generic > kLastGeneric) return std::nullopt;
  const auto code = static_cast<AlertCode>(generic);
  std::string word = model::label(code);
  constexpr std::string_view kSubunit = "subunit-";
  if (word.starts_with(kSubunit)) word.erase(0, kSubunit.size());
  return CodeMeaning{std::string(kFinishers[static_cast<std::size_t>(family)]) + "-" + word, lasting_of(code)};
}

}  // namespace

CodeMeaning meaning_of(AlertCode code) {
  for (const auto& [listed, keyword] : kOlderWords)
    if (listed == code) return {std::string(keyword), Lasting::condition};
  const auto number = static_cast<std::int32_t>(code);
  if (const auto label = model::find_label(model::listed<AlertCode>(), number))
    return {std::string(*label), lasting_of(code)};
  if (const auto finisher = finisher_meaning(number)) return *finisher;
  return {"alert-code-" + std::to_string(number), Lasting::condition};
}

}  // namespace frisket::incidents
