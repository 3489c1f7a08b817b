// Maker, model and part number out of the free text that devices offer for them.
//
// The Printer MIB has no field for any of the three. hrDeviceDescr is a text that includes
// the manufacturer and the revision (RFC 2790), prtMarkerSuppliesDescription often the part
// number. How they are written there is common practice, no source: so these are
// guesses from a text, and empty when in doubt. Pure; any thread.
#pragma once

#include <string>
#include <string_view>

namespace frisket::model {

struct Designation {
  std::string maker;
  std::string model;
  friend bool operator==(const Designation&, const Designation&) = default;
};

// "Quillon LX 4100" gives Quillon and "LX 4100". A text in the manner of an IEEE 1284
// device id ("MFG:Quillon;MDL:LX 4100;") is read by its keys. A single word is a model.
Designation designation_of(std::string_view description);

// The first word that looks like an order number: at least 4 characters, capital
// letters, digits and hyphens only, a letter and two digits among them, no serial
// number and no quantity ("10K", "500ML"). Empty if there is none.
std::string part_number_in(std::string_view description);

}  // namespace frisket::model
