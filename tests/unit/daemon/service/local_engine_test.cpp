#include "daemon/service/local_engine.h"

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <string>

#include "temporary_folder.h"

using frisket::TemporaryFolder;
using frisket::service::new_engine;
using frisket::service::next_engine;

TEST_CASE("an engine id is of RFC 3411's form, with octets of our choice, and no two are alike") {
  const auto engine = new_engine();
  CHECK(engine.id.size() >= 5);
  CHECK(engine.id.size() <= 32);
  CHECK((static_cast<unsigned char>(engine.id[0]) & 0x80U) != 0);
  CHECK(engine.id[4] == 5);
  CHECK(engine.id != new_engine().id);
}

TEST_CASE("each start is the same engine with one more boot") {
  const TemporaryFolder folder;
  const auto first = next_engine(folder.path());
  REQUIRE(first);
  CHECK(first->boots == 1);
  for (std::uint32_t boots = 2; boots < 5; ++boots) {
    const auto next = next_engine(folder.path());
    REQUIRE(next);
    CHECK(next->id == first->id);
    CHECK(next->boots == boots);
  }
  CHECK_FALSE(std::filesystem::exists(folder.path() / "engine.new"));
}

TEST_CASE("a file that is damaged, or an engine that is worn out, gives a new engine rather than old boots") {
  const TemporaryFolder folder;
  const auto first = next_engine(folder.path());
  REQUIRE(first);
  for (const char* content : {"", "engine", "engine 80007ed905 boots 7\n", "engine zz boots 1\n",
                              "engine 80007ed905000102030405060708090a0b boots 2147483647\n",
                              "engine 80007ed905000102030405060708090a0b boots -1\n"}) {
    std::ofstream(folder.path() / "engine") << content;
    const auto next = next_engine(folder.path());
    REQUIRE(next);
    CHECK(next->boots == 1);
    CHECK(next->id != first->id);
  }
}

TEST_CASE("a folder that is not there is an error, and nothing is pretended") {
  const auto engine = next_engine("/nowhere/at/all");
  REQUIRE_FALSE(engine);
  CHECK(engine.error().kind == frisket::model::Error::Kind::local);
}
