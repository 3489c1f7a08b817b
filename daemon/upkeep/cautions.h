// The usual warnings before work on a printer, in one wording. Common practice, no source; the maker's manual, local
// rules and qualified service come first.
#pragma once

namespace frisket::upkeep {

inline constexpr const char* kManual = "The maker's manual, local rules and qualified service come first.";
inline constexpr const char* kMains = "Switch the device off and unplug it before reaching inside.";
inline constexpr const char* kHot = "The fuser stays hot: let it cool for at least 30 minutes.";
inline constexpr const char* kHotHead = "A thermal head stays hot after printing: let it cool for some minutes.";
inline constexpr const char* kToner =
    "Wipe up toner with a cloth or a vacuum cleaner made for toner; never an ordinary one. Do not breathe the dust.";
inline constexpr const char* kMoving = "Keep fingers, hair and loose clothing away from rollers and gears.";
inline constexpr const char* kAlcohol = "No alcohol near hot parts or while the device is under power.";
inline constexpr const char* kLight = "Keep the drum out of bright light and do not touch its surface.";
inline constexpr const char* kInk = "Ink stains and irritates the eyes: wear gloves, and keep cartridges level.";

}  // namespace frisket::upkeep
