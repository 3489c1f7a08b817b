#include "probes/model/enum_names.h"

#include <algorithm>

namespace frisket::model {

std::optional<std::string_view> find_label(std::span<const EnumName> rows, std::int32_t value) {
  const auto found = std::ranges::lower_bound(rows, value, {}, &EnumName::value);
  if (found == rows.end() || found->value != value) return std::nullopt;
  return found->label;
}

std::string label_or_number(std::span<const EnumName> rows, std::int32_t value) {
  if (const auto known = find_label(rows, value)) return std::string(*known);
  return "unknown(" + std::to_string(value) + ")";
}

}  // namespace frisket::model
