#include "probes/model/subunit.h"

#include <array>
#include <charconv>
#include <utility>

namespace frisket::model {
namespace {

using Kind = Subunit::Kind;

constexpr std::array<std::pair<Kind, std::string_view>, 12> kKinds = {{
    {Kind::device, "device"},
    {Kind::cover, "cover"},
    {Kind::input, "input"},
    {Kind::output, "output"},
    {Kind::marker, "marker"},
    {Kind::supply, "supply"},
    {Kind::media_path, "media-path"},
    {Kind::channel, "channel"},
    {Kind::interpreter, "interpreter"},
    {Kind::console, "console"},
    {Kind::finisher, "finisher"},
    {Kind::other, "other"},
}};

Kind kind_of(AlertGroup group) {
  switch (group) {
    case AlertGroup::cover:
      return Kind::cover;
    case AlertGroup::input:
      return Kind::input;
    case AlertGroup::output:
      return Kind::output;
    case AlertGroup::marker:
      return Kind::marker;
    case AlertGroup::marker_supplies:
      return Kind::supply;
    case AlertGroup::media_path:
      return Kind::media_path;
    case AlertGroup::channel:
      return Kind::channel;
    case AlertGroup::interpreter:
      return Kind::interpreter;
    case AlertGroup::console_display_buffer:
    case AlertGroup::console_lights:
      return Kind::console;
    case AlertGroup::fin_device:
    case AlertGroup::fin_supply:
    case AlertGroup::fin_supply_media_input:
    case AlertGroup::fin_attribute:
      return Kind::finisher;
    case AlertGroup::general_printer:
    case AlertGroup::host_resources_mib_device_table:
      return Kind::device;
    default:
      return Kind::other;
  }
}

}  // namespace

std::string_view to_text(Kind kind) {
  for (const auto& [listed, word] : kKinds)
    if (listed == kind) return word;
  return "other";
}

std::string to_text(const Subunit& subunit) {
  std::string text(to_text(subunit.kind));
  if (subunit.index > 0) text += ":" + std::to_string(subunit.index);
  return text;
}

std::optional<Subunit> subunit_from(std::string_view text) {
  const auto colon = text.find(':');
  const auto word = text.substr(0, colon);
  Subunit subunit;
  bool known = false;
  for (const auto& [kind, listed] : kKinds) {
    if (listed != word) continue;
    subunit.kind = kind;
    known = true;
  }
  if (!known) return std::nullopt;
  if (colon == std::string_view::npos) return subunit;
  const auto digits = text.substr(colon + 1);
  const auto* end = digits.data() + digits.size();
  const auto [stop, failure] = std::from_chars(digits.data(), end, subunit.index);
  if (failure != std::errc{} || stop != end || subunit.index < 0) return std::nullopt;
  return subunit;
}

Subunit subunit_of(AlertGroup group, std::int32_t group_index) {
  const Kind kind = kind_of(group);
  if (kind == Kind::device) return {};
  return {kind, group_index > 0 ? group_index : 0};
}

}  // namespace frisket::model
