// Incident ids: short, sortable, never used twice.
//
// 8 characters of lower-case Crockford base32 of max(last + 1, milliseconds from
// 2025-01-01T00:00Z to the raising). 40 bits of milliseconds last until 2059. Pure.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "probes/model/time.h"

namespace frisket::incidents {

class IncidentIds {
 public:
  explicit IncidentIds(std::uint64_t last = 0) : last_(last) {}

  // The id of an incident raised then; later than every id before.
  std::string next(model::WallTime raised_at);

  std::uint64_t last() const { return last_; }

 private:
  std::uint64_t last_;
};

std::string id_text(std::uint64_t number);
// Nothing for a text that id_text() never gives.
std::optional<std::uint64_t> id_number(std::string_view text);

}  // namespace frisket::incidents
