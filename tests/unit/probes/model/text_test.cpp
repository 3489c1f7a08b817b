// What decode_text() promises of its output, whatever comes in.
#include "probes/model/text.h"

#include <algorithm>
#include <random>

#include "facts.h"

namespace frisket::model {
namespace {

const std::string kGreek = octets_of("CEB1CEB2CEB3");           // two octets each
const std::string kJapanese = octets_of("E697A5E69CACE8AA9E");  // three (RFC 3629 section 7)
const std::string kRare = octets_of("F0A38EB4F0A38EB4");        // four

bool contains(std::string_view text, std::string_view part) { return text.find(part) != std::string_view::npos; }

// The whole promise of text.h.
bool keeps_promise(const std::string& text, std::size_t limit) {
  if (!is_utf8(text) || text.size() > limit) return false;
  if (text.starts_with(' ') || text.ends_with(' ') || contains(text, "  ")) return false;
  if (std::ranges::any_of(text, [](unsigned char c) { return c < 0x20 || c == 0x7F; })) return false;
  for (int c1 = 0x80; c1 <= 0xA0; ++c1)  // C1 controls and the no-break space
    if (contains(text, std::string{'\xC2', static_cast<char>(c1)})) return false;
  for (const auto* hex : {"E280A8", "E280A9", "E280AA", "E280AB", "E280AC", "E280AD", "E280AE", "E281A6", "E281A7",
                          "E281A8", "E281A9", "E2808E", "E2808F", "D89C", "EFBBBF"})
    if (contains(text, octets_of(hex))) return false;
  return true;
}

TEST_CASE("control characters become one space, and the ends are trimmed") {
  CHECK(decode_text("  Load\r\n\tTray 2\x07 \x1B[2J ", Charset::ascii) == "Load Tray 2 [2J");
  CHECK(decode_text("a\x7F"
                    "b",
                    Charset::ascii) == "a b");
  CHECK(decode_text("a\x85\x9B\xA0"
                    "b",
                    Charset::latin1) == "a b");
  CHECK(decode_text("a" + octets_of("C285C2A0E280A8E280A9") + "b", Charset::utf8) == "a b");
  CHECK(decode_text("\n\t \r", Charset::ascii).empty());
  CHECK(decode_text("", Charset::utf8).empty());
}

TEST_CASE("padding NULs are dropped, NULs within are blanks") {
  CHECK(decode_text(std::string("Tray\0\0\0", 7), Charset::ascii) == "Tray");
  CHECK(decode_text(std::string("Tr\0ay\0", 6), Charset::ascii) == "Tr ay");
  CHECK(decode_text(std::string(300, '\0'), Charset::ascii).empty());
}

// Unicode UAX #9: explicit formatting characters and implicit marks.
TEST_CASE("characters that turn the direction around are dropped") {
  for (const auto* hex : {"E280AA", "E280AB", "E280AC", "E280AD", "E280AE", "E281A6", "E281A7", "E281A8", "E281A9",
                          "E2808E", "E2808F", "D89C"})
    CHECK(decode_text("a" + octets_of(hex) + "b" + kGreek, Charset::utf8) == "ab" + kGreek);
}

TEST_CASE("what other languages give a meaning to is left to their own escaping") {
  const std::string text = "<script>'\"&$(x)`;\\%s{}";
  CHECK(decode_text(text, Charset::ascii) == text);
}

TEST_CASE("a limit never splits a character and never leaves a blank at the end") {
  for (const auto& text : {kGreek, kJapanese, kRare, "a" + kGreek + " " + kRare + " b " + kJapanese})
    for (std::size_t limit = 0; limit <= text.size() + 1; ++limit) {
      const auto cut = decode_text(text, Charset::utf8, limit);
      CHECK(keeps_promise(cut, limit));
      CHECK(text.starts_with(cut));
      CHECK(cut.size() + 5 > std::min(limit, text.size()));  // no more than one character and one blank is lost
    }
}

TEST_CASE("without a limit of its own a text keeps 255 bytes") {
  CHECK(decode_text(std::string(300, 'x'), Charset::ascii).size() == 255);
  CHECK(decode_text(std::string(300, '\xE4'), Charset::latin1).size() == 254);
}

// Agents cut at a number of octets, often 63 or 255, wherever that falls.
TEST_CASE("a UTF-8 text that the device cut inside a character keeps its whole characters") {
  const std::string text = kGreek + kJapanese + kRare;
  for (std::size_t length = 0; length <= text.size(); ++length) {
    const auto prefix = decode_text(text.substr(0, length), Charset::utf8);
    CHECK(keeps_promise(prefix, 255));
    if (length >= 2) {
      CHECK(text.starts_with(prefix));
      CHECK(prefix.size() + 4 > length);
    }
  }
}

TEST_CASE("a text longer than is ever looked at is cut, not misread") {
  std::string text;
  while (text.size() < 10'000) text += kJapanese;
  const auto kept = decode_text(text, Charset::utf8, 8000);
  CHECK(kept.size() >= 4000);
  CHECK(text.starts_with(kept));
  CHECK(text.starts_with(decode_text(text, Charset::utf8)));
  CHECK(decode_text(text, Charset::utf8).size() == 255);
  std::string kana;  // the same in Shift_JIS, two octets each; an odd start puts the cut inside one
  while (kana.size() < 10'000) kana += "\x83\x65";
  const auto japanese = decode_text("x" + kana, static_cast<Charset>(17), 8000);
  CHECK(japanese.starts_with("x" + octets_of("E38386E38386")));
  CHECK(std::ranges::count(japanese, '\x83') > 1000);
}

TEST_CASE("whatever the octets, the set and the limit, the output is valid, tidy and bounded, and stays as it is") {
  std::mt19937 random(20261125);  // fixed: a failure can be repeated
  const auto below = [&](unsigned bound) { return static_cast<unsigned>(random() % bound); };
  const std::string pieces[] = {kGreek,
                                kJapanese,
                                kRare,
                                octets_of("E280AE"),
                                octets_of("EFBBBF"),
                                octets_of("C285"),
                                std::string(1, '\0'),
                                " ",
                                "\r\n",
                                "\x1B[0m",
                                "\xE4\xF6",
                                "Tray",
                                octets_of("EDA080")};
  constexpr int kSets[] = {-1,   0,    1,    2,    3,    4,    9,    13,   17,   18,   38,   39,   106,  113,  114,
                           1000, 1001, 1013, 1014, 1015, 1017, 2004, 2009, 2024, 2025, 2026, 2084, 2252, 2259, 99999};
  std::size_t broken = 0;
  for (int round = 0; round < 20'000; ++round) {
    std::string octets;
    for (unsigned part = below(8); part > 0; --part) {
      if (below(2) == 0) octets += pieces[below(std::size(pieces))];
      for (unsigned more = below(5); more > 0; --more) octets += static_cast<char>(below(256));
    }
    const auto charset = static_cast<Charset>(kSets[below(std::size(kSets))]);
    const std::size_t limit = below(64);
    const auto text = decode_text(octets, charset, limit);
    const bool fine = keeps_promise(text, limit) && decode_text(text, Charset::utf8, limit) == text;
    if (!fine && broken++ == 0) {
      std::string hex;
      for (const unsigned char c : octets) hex += "0123456789ABCDEF"[c >> 4], hex += "0123456789ABCDEF"[c & 15];
      UNSCOPED_INFO("octets " << hex << ", set " << static_cast<int>(charset) << ", limit " << limit << ", text "
                              << text);
    }
  }
  CHECK(broken == 0);
}

}  // namespace
}  // namespace frisket::model
