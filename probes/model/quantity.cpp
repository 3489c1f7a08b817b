#include "probes/model/quantity.h"

#include <algorithm>

namespace frisket::model {

Level decode_level(std::int32_t wire) {
  if (wire >= 0) return Amount{wire};
  if (wire == -1) return Unlimited{};
  if (wire == -3) return SomeLeft{};
  return Unknown{};
}

Capacity decode_capacity(std::int32_t wire) {
  if (wire >= 0) return Amount{wire};
  if (wire == -1) return Unlimited{};
  return Unknown{};
}

std::optional<std::int32_t> amount_of(const Level& level) {
  if (const auto* amount = std::get_if<Amount>(&level)) return amount->units;
  return std::nullopt;
}

std::optional<std::int32_t> amount_of(const Capacity& capacity) {
  if (const auto* amount = std::get_if<Amount>(&capacity)) return amount->units;
  return std::nullopt;
}

std::optional<double> percent_of(const Level& level, const Capacity& capacity) {
  const auto left = amount_of(level);
  const auto most = amount_of(capacity);
  if (!left || !most || *most <= 0) return std::nullopt;
  return std::min(100.0, 100.0 * *left / *most);
}

}  // namespace frisket::model
