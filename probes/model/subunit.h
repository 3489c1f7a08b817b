// Which part of a device something is about.
//
// Written "input:2", "supply:1" or just "device" in the public JSON; the index is the
// device's own row index (RFC 3805), 0 where the device did not say which. Pure.
#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "probes/model/alert_enums.h"

namespace frisket::model {

struct Subunit {
  enum class Kind {
    device,  // the whole device
    cover,
    input,
    output,
    marker,
    supply,
    media_path,
    channel,
    interpreter,
    console,
    finisher,
    other,
  };

  Kind kind = Kind::device;
  std::int32_t index = 0;

  friend auto operator<=>(const Subunit&, const Subunit&) = default;
};

std::string_view to_text(Subunit::Kind kind);  // "media-path"
std::string to_text(const Subunit& subunit);   // "media-path:1", "device", "input" (index 0)
std::optional<Subunit> subunit_from(std::string_view text);

// Where an alert row points (prtAlertGroup, prtAlertGroupIndex). An index of -1 or 0
// means the device did not say which row.
Subunit subunit_of(AlertGroup group, std::int32_t group_index);

}  // namespace frisket::model
