// Kinds of supplies that are treated alike (RFC 3805 PrtMarkerSuppliesTypeTC). Pure; any thread.
#pragma once

#include <algorithm>
#include <initializer_list>

#include "probes/model/enums.h"

namespace frisket::upkeep {

inline bool is_one_of(model::SupplyType type, std::initializer_list<model::SupplyType> types) {
  return std::ranges::find(types, type) != types.end();
}

inline bool is_ink(model::SupplyType type) {
  using enum model::SupplyType;
  return is_one_of(type, {ink, ink_cartridge, matte_ink, waste_ink});
}

// Without it pages are faded or blank. A waste box that is full, or a worn drum, stops or spoils pages in other ways.
inline bool is_put_on_paper(model::SupplyType type) {
  using enum model::SupplyType;
  return is_one_of(type, {toner, toner_cartridge, matte_toner, ink, ink_cartridge, matte_ink, ink_ribbon, solid_wax,
                          ribbon_wax, developer});
}

}  // namespace frisket::upkeep
