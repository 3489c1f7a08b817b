#include <catch2/catch.hpp>
#include <fstream>
#include <set>
#include <string>

#include "daemon/http/routes.h"

TEST_CASE("docs/api.md has a heading for every route, and for none that does not exist") {
  std::ifstream file(FRISKET_SOURCE_DIR "/docs/api.md");
  REQUIRE(file);
  std::set<std::string> documented;
  for (std::string line; std::getline(file, line);)
    if (line.starts_with("## GET ") || line.starts_with("## POST ")) documented.insert(line.substr(3));
  std::set<std::string> served;
  for (const auto& route : frisket::http::route_names())
    served.insert(std::string(route.method) + " " + std::string(route.path));
  CHECK(documented == served);
}
