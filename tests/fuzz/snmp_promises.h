// What holds for whatever devices send: a broken promise ends the process, as a sanitizer's finding does.
#pragma once

#include <cstdlib>
#include <string>

#include "probes/model/device.h"
#include "probes/model/text.h"

namespace frisket::fuzz {

inline void promise(bool kept) {
  if (!kept) std::abort();
}

inline void check_text(const std::string& text) { promise(text.size() <= model::kMaxText && model::is_utf8(text)); }

inline void check_snapshot(const model::DeviceSnapshot& device) {
  check_text(device.system.description);
  check_text(device.general.serial_number);
  for (const auto& cover : device.covers) check_text(cover.description);
  for (const auto& input : device.inputs) check_text(input.name);
  for (const auto& supply : device.supplies) {
    check_text(supply.description);
    check_text(supply.colorant);
    const auto percent = supply.percent();
    promise(!percent || (*percent >= 0 && *percent <= 100));
  }
  for (const auto& line : device.console) check_text(line.text);
  for (const auto& alert : device.alerts) check_text(alert.description);
  promise(device.gaps.size() <= 33);
  for (const auto& gap : device.gaps) promise(model::is_utf8(gap));
}

}  // namespace frisket::fuzz
