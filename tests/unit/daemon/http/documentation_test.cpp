#include <catch2/catch.hpp>
#include <fstream>
#include <set>
#include <string>

#include "daemon/http/page_files.h"
#include "daemon/http/routes.h"
#include "daemon/json/forms.h"

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

TEST_CASE("the OpenAPI document has a path for every route, and for none that does not exist") {
  REQUIRE(frisket::http::openapi_files().size() == 1);
  const auto document = frisket::json::Json::parse(frisket::http::openapi_files().front().content);
  std::set<std::string> described;
  for (const auto& [path, methods] : document.at("paths").items())
    for (const auto& [method, operation] : methods.items())
      described.insert((method == "get" ? "GET " : "POST ") + path);
  std::set<std::string> served;
  for (const auto& route : frisket::http::route_names())
    served.insert(std::string(route.method) + " " + std::string(route.path));
  CHECK(described == served);
}
