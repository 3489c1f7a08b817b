// Invented texts in the manners that are common practice; there is no standard for them.
#include "probes/model/designation.h"

#include <catch2/catch.hpp>

using frisket::model::Designation;
using frisket::model::designation_of;
using frisket::model::part_number_in;

TEST_CASE("the first word of a device's description is its maker, the rest its model") {
  CHECK(designation_of("Quillon LX 4100 MFP") == Designation{"Quillon", "LX 4100 MFP"});
  CHECK(designation_of("  Quillon   LX4100 ") == Designation{"Quillon", "LX4100"});
  CHECK(designation_of("LX4100") == Designation{"", "LX4100"});
  CHECK(designation_of("") == Designation{"", ""});
}

TEST_CASE("a description in the manner of an IEEE 1284 device id is read by its keys") {
  CHECK(designation_of("MFG:Quillon;CMD:PS,PCL;MDL:LX 4100;CLS:PRINTER;") == Designation{"Quillon", "LX 4100"});
  CHECK(designation_of("MANUFACTURER: Quillon Works ;MODEL: LX 4100") == Designation{"Quillon Works", "LX 4100"});
  CHECK(designation_of("MDL:LX 4100;") == Designation{"", "LX 4100"});
}

TEST_CASE("a part number is the first word that looks like an order number") {
  CHECK(part_number_in("Black Toner QT-4471K") == "QT-4471K");
  CHECK(part_number_in("QT4471C Cyan Cartridge") == "QT4471C");
  CHECK(part_number_in("Toner (black), QT4471K; spare QT4472K") == "QT4471K");
}

TEST_CASE("quantities, serial numbers and plain words are no part numbers") {
  for (const auto* text : {"", "Black Toner", "Toner 10K", "Ink 500ML", "Tray A4", "TONER", "12345", "1200DPI fuser",
                           "Toner SN 44AB71", "Toner S/N 44AB71", "Toner SN44AB71", "Serial 44AB71", "toner qt4471k",
                           "QT-44-", "-QT44", "A123456789012345678901234"}) {
    CAPTURE(text);
    CHECK(part_number_in(text).empty());
  }
  CHECK(part_number_in("QT4471K SN 44AB71") == "QT4471K");
}
