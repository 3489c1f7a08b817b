#include "daemon/client/display.h"

#include <catch2/catch.hpp>

namespace frisket::client {

// Widths as Unicode Standard Annex 11 (East Asian Width) classes them: W and F take two
// columns, combining marks none.
TEST_CASE("a CJK character takes two columns, a combining mark none, an accented letter one") {
  CHECK(columns("tray") == 4);
  CHECK(columns("Küche") == 5);
  CHECK(columns("e\xCC\x81") == 1);
  CHECK(columns("種子の部屋") == 10);
  CHECK(columns("Ａ") == 2);  // FULLWIDTH LATIN CAPITAL LETTER A
  CHECK(columns("ｱ") == 1);   // HALFWIDTH KATAKANA LETTER A
  CHECK(columns("") == 0);
}

TEST_CASE("a fitted text takes exactly its width, also where a wide character does not fit in") {
  CHECK(fitted("tray", 6) == "tray  ");
  CHECK(fitted("tray", 4) == "tray");
  CHECK(fitted("tray one", 6) == "tray …");
  CHECK(fitted("種子の部屋", 10) == "種子の部屋");
  CHECK(fitted("種子の部屋", 6) == "種子… ");
  CHECK(fitted("種子の部屋", 5) == "種子…");
  CHECK(fitted("tray", 1) == "…");
  CHECK(fitted("tray", 0).empty());
  for (std::size_t width = 0; width < 20; ++width) {
    CHECK(columns(fitted("a 種子 e\xCC\x81 b", width)) == width);
    CHECK(columns(fitted("plain and long enough to be cut", width)) == width);
  }
}

TEST_CASE("wrapped lines break at spaces and keep to the width") {
  CHECK(wrapped("take out the sheet", 10) == std::vector<std::string>{"take out", "the sheet"});
  CHECK(wrapped("take out the sheet", 80) == std::vector<std::string>{"take out the sheet"});
  CHECK(wrapped("", 10) == std::vector<std::string>{""});
}

TEST_CASE("a word longer than the line is broken inside, and nothing is lost") {
  CHECK(wrapped("abcdefgh", 3) == std::vector<std::string>{"abc", "def", "gh"});
  CHECK(wrapped("a bcdefgh i", 3) == std::vector<std::string>{"a", "bcd", "efg", "h i"});
  CHECK(wrapped("種子", 1) == std::vector<std::string>{"種", "子"});
}

TEST_CASE("inert text has no control characters, line ends or direction overrides") {
  CHECK(inert("a\x1b[31mred\x1b[0m\r\nb\tc") == "a [31mred [0m b c");
  CHECK(inert("\xC2\x9B"
              "2J clear") == "2J clear");  // C1: CSI
  CHECK(inert("safe\xE2\x80\xAE"
              "txt.exe") == "safetxt.exe");  // RIGHT-TO-LEFT OVERRIDE
  CHECK(inert("\x07"
              "bell\x7f") == "bell");
  CHECK(inert(std::string(5000, 'x')).size() == 4096);
  std::string long_wide;
  for (int i = 0; i < 2000; ++i) long_wide += "種";
  CHECK(inert(long_wide) == long_wide.substr(0, 4095));
}

TEST_CASE("inert JSON means the same, without anything a terminal could obey") {
  CHECK(inert_json("\"a\xC2\x9B\x7F\xE2\x80\xAE\xE2\x80\xA8"
                   "b種\"") == R"("a\u009b\u007f\u202e\u2028b種")");
  CHECK(inert_json("\"\xC2\xA0\xE2\x82\xAC\"") == "\"\xC2\xA0\xE2\x82\xAC\"");  // NO-BREAK SPACE, EURO SIGN stay
  CHECK(inert_json("\xC2") == "\xC2");
  CHECK(inert_json("\xE2\x80") == "\xE2\x80");
}

TEST_CASE("a tone colours only where colour is on") {
  CHECK(toned("critical", Tone::critical, false) == "critical");
  CHECK(toned("critical", Tone::critical, true) == "\x1b[1;31mcritical\x1b[0m");
  CHECK(toned("plain", Tone::plain, true) == "plain");
}

}  // namespace frisket::client
