// Character sets against tests/facts/charsets.tsv, made by an implementation that is not ours.
#include "facts.h"
#include "probes/model/text.h"

namespace frisket::model {
namespace {

constexpr std::size_t kPlenty = 4096;

std::string decoded(const std::string& octets, int mib_enum) {
  return decode_text(octets, static_cast<Charset>(mib_enum), kPlenty);
}

TEST_CASE("every character set of the table gives the table's text") {
  int sets = 0;
  for (const auto& row : facts("charsets.tsv")) {
    ++sets;
    INFO(row.at(0) << " " << row.at(2));
    CHECK(decoded(octets_of(row.at(3)), std::stoi(row.at(0))) == octets_of(row.at(4)));
  }
  CHECK(sets == 45);
}

TEST_CASE("ASCII is itself in every set that contains it") {
  const std::string text = "Tray 2: A4, 80 g/m2 (plain) ~ {ok}";
  for (const int mib_enum : {3, 4, 5, 111, 106, 2004, 2009, 2252, 18, 38, 39, 2025, 2026})
    CHECK(decoded(text, mib_enum) == text);
}

TEST_CASE("a set that is unknown, unsupported or contradicted by the octets is read as Latin-1") {
  const std::string text =
      "K\xFC"
      "bel";  // Latin-1
  for (const int mib_enum : {0, 1, 2, 3, 4, 106, 999999, -5})
    CHECK(decoded(text, mib_enum) ==
          "K\xC3\xBC"
          "bel");
  CHECK(decoded("\x81", 17) == "");        // half a Shift_JIS character: a control character in Latin-1
  CHECK(decoded("a\x81 b", 17) == "a b");  // no such character
}

// Common practice, no source: devices declare ASCII or Latin-1 and send UTF-8.
TEST_CASE("octets that are UTF-8 are read so, whatever the device declares") {
  const std::string text = "Beh\xC3\xA4lter \xE2\x82\xAC";
  for (const int mib_enum : {1, 2, 3, 4, 111, 2252, 106, 999999}) CHECK(decoded(text, mib_enum) == text);
}

TEST_CASE("numbers beyond Unicode are not taken over from a set that can write them") {
  CHECK(decoded(octets_of("0ABA7E41"), 1001) == "\xC2\xBA~A");
  CHECK(decoded(octets_of("0000D800"), 1001) == "\xC3\x98");
  CHECK(decoded(octets_of("D8000041"), 1000) == "\xC3\x98 A");
}

TEST_CASE("a character that the device's own limit cut in two is left out") {
  CHECK(decoded(octets_of("00540072") + std::string(1, '\0'), 1013) == "Tr");
  CHECK(decoded("\x83\x65\x83", 17) == octets_of("E38386"));
  CHECK(decoded("caf\xE9", 106) == "caf\xC3\xA9");  // as like to be Latin-1: kept
}

TEST_CASE("a byte order mark is not part of the text") {
  CHECK(decoded("\xEF\xBB\xBF"
                "Tray",
                106) == "Tray");
  CHECK(decoded(octets_of("FEFF00540072"), 1015) == "Tr");
  CHECK(decoded(octets_of("FFFE54007200"), 1015) == "Tr");
  CHECK(decoded(octets_of("FEFF00540072"), 1013) == "Tr");
}

TEST_CASE("one decoder reads each text as if it were its first, whatever sets came before") {
  TextDecoder decoder;
  for (int round = 0; round < 2; ++round) {
    for (const int mib_enum : {5, 17, 39, 1013, 1015, 2252, 8, 999999}) {
      for (const std::string text : {"Tray", "T\xC4\xB1", "\x83\x65\x83", "\x1B$B%F", "\xFE\xFF\0T"}) {
        const auto charset = static_cast<Charset>(mib_enum);
        CHECK(decoder.decode(text, charset) == decode_text(text, charset));
      }
    }
  }
}

}  // namespace
}  // namespace frisket::model
