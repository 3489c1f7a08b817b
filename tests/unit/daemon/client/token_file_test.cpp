#include "daemon/client/token_file.h"

#include <catch2/catch.hpp>

#include "temporary_folder.h"

namespace frisket::client {

TEST_CASE("a token is what its file holds, without one line end") {
  const TemporaryFolder folder;
  for (const auto* content : {"q7Jm0-c_", "q7Jm0-c_\n", "q7Jm0-c_\r\n"}) {
    const auto token = token_in(folder.write("token", content));
    REQUIRE(token);
    CHECK(*token == "q7Jm0-c_");
  }
}

TEST_CASE("a file that holds no token, or more, is refused, and no message shows what it holds") {
  const TemporaryFolder folder;
  for (const auto& content : {std::string(), std::string("\n"), std::string("hidden\ndesk read hidden\n"),
                              std::string("hidden token"), std::string("hidden\r\nX-Other: 1"), std::string(4097, 'h'),
                              std::string("hidden\0", 7), std::string("hidden\xc3\xa9")}) {
    const auto token = token_in(folder.write("token", content));
    REQUIRE_FALSE(token);
    CHECK(token.error().kind == model::Error::Kind::invalid);
    CHECK(token.error().text().find("hidden") == std::string::npos);
  }
  for (const auto& file : {folder.path() / "missing", folder.path()}) {
    const auto token = token_in(file);
    REQUIRE_FALSE(token);
    CHECK(token.error().kind == model::Error::Kind::local);
  }
}

}  // namespace frisket::client
