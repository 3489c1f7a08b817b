#include "daemon/incidents/place.h"

#include <cctype>
#include <string_view>

#include "daemon/incidents/findings.h"

namespace frisket::incidents {
namespace {

using model::DeviceSnapshot;
using model::Subunit;
using model::SupplyType;

// Cuts at a character boundary; the model's texts are valid UTF-8.
std::string bounded(std::string text) {
  if (text.size() <= kMaxPlace) return text;
  std::size_t end = kMaxPlace;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
  text.resize(end);
  return text;
}

std::string numbered(std::string_view what, std::int32_t index) {
  return std::string(what) + " " + std::to_string(index);
}

// "2" or "A" is what is printed on the drawer, not yet a place.
std::string tray_name(const std::string& name) { return name.size() <= 2 ? "Tray " + name : name; }

std::string input_place(const model::Input* input, std::int32_t index) {
  if (input == nullptr) return numbered("Tray", index);
  if (!input->name.empty()) return tray_name(input->name);
  if (!input->description.empty()) return tray_name(input->description);
  if (input->type == model::InputType::sheet_feed_manual) return "Bypass tray";
  return numbered("Tray", index);
}

std::string output_place(const model::Output* output, std::int32_t index) {
  if (output != nullptr && !output->name.empty()) return output->name;
  if (output != nullptr && !output->description.empty()) return output->description;
  return numbered("Output bin", index);
}

std::string_view supply_noun(SupplyType type) {
  switch (type) {
    case SupplyType::toner:
    case SupplyType::toner_cartridge:
      return "toner cartridge";
    case SupplyType::ink:
    case SupplyType::ink_cartridge:
      return "ink cartridge";
    case SupplyType::opc:
      return "drum";
    case SupplyType::waste_toner:
      return "waste toner container";
    case SupplyType::waste_ink:
      return "waste ink container";
    case SupplyType::other:
    case SupplyType::unknown:
      return "supply";
    default:
      return {};
  }
}

std::string capitalised(std::string text) {
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

std::string supply_place(const model::Supply* supply, std::int32_t index) {
  if (supply == nullptr) return numbered("Supply", index);
  if (!supply->description.empty()) return supply->description;
  std::string noun(supply_noun(supply->type));
  if (noun.empty()) {
    noun = model::label(supply->type);
    for (char& c : noun)
      if (c == '-') c = ' ';
  }
  if (supply->colorant.empty()) return capitalised(noun) + " " + std::to_string(index);
  return capitalised(supply->colorant) + " " + noun;
}

std::string media_path_place(const DeviceSnapshot& snapshot, std::int32_t index) {
  using model::MediaPathType;
  for (const auto& path : snapshot.media_paths) {
    if (path.index != index) continue;
    if (!path.description.empty()) return path.description;
    if (path.type == MediaPathType::long_edge_binding_duplex || path.type == MediaPathType::short_edge_binding_duplex)
      return "Duplex path";
  }
  return snapshot.media_paths.size() > 1 ? numbered("Paper path", index) : "Paper path";
}

std::string_view unsaid_place(Subunit::Kind kind) {
  switch (kind) {
    case Subunit::Kind::cover:
      return "A cover";
    case Subunit::Kind::input:
      return "A paper tray";
    case Subunit::Kind::output:
      return "An output bin";
    case Subunit::Kind::marker:
      return "Print engine";
    case Subunit::Kind::supply:
      return "A supply";
    case Subunit::Kind::media_path:
      return "Paper path";
    case Subunit::Kind::channel:
      return "A data channel";
    case Subunit::Kind::interpreter:
      return "A page description language";
    case Subunit::Kind::console:
      return "Control panel";
    case Subunit::Kind::finisher:
      return "Finisher";
    case Subunit::Kind::device:
    case Subunit::Kind::other:
      break;
  }
  return {};
}

std::string said_place(const Subunit& subunit, const DeviceSnapshot& snapshot) {
  switch (subunit.kind) {
    case Subunit::Kind::cover: {
      const auto* cover = find_cover(snapshot, subunit.index);
      return cover != nullptr && !cover->description.empty() ? cover->description : numbered("Cover", subunit.index);
    }
    case Subunit::Kind::input:
      return input_place(find_input(snapshot, subunit.index), subunit.index);
    case Subunit::Kind::output:
      return output_place(find_output(snapshot, subunit.index), subunit.index);
    case Subunit::Kind::supply:
      return supply_place(find_supply(snapshot, subunit.index), subunit.index);
    case Subunit::Kind::media_path:
      return media_path_place(snapshot, subunit.index);
    case Subunit::Kind::marker:
      return snapshot.markers.size() > 1 ? numbered("Print engine", subunit.index) : "Print engine";
    case Subunit::Kind::channel:
      return numbered("Data channel", subunit.index);
    case Subunit::Kind::interpreter:
      return numbered("Page description language", subunit.index);
    case Subunit::Kind::finisher:
      return numbered("Finisher", subunit.index);
    default:
      return std::string(unsaid_place(subunit.kind));
  }
}

}  // namespace

std::string place_of(const Subunit& subunit, const DeviceSnapshot& snapshot) {
  if (subunit.index <= 0) return std::string(unsaid_place(subunit.kind));
  return bounded(said_place(subunit, snapshot));
}

}  // namespace frisket::incidents
