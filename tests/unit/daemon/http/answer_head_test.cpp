#include "daemon/http/answer_head.h"

#include <boost/beast/http/parser.hpp>
#include <boost/beast/http/string_body.hpp>
#include <catch2/catch.hpp>

using namespace frisket;
using namespace std::chrono_literals;
namespace bhttp = boost::beast::http;

namespace {

constexpr std::string_view kDate = "Mon, 05 Jan 2026 08:00:00 GMT";
constexpr model::WallTime kEight{std::chrono::sys_days{std::chrono::January / 5 / 2026} + 8h};

// As Beast reads it, which has its own mind of RFC 9112.
bhttp::response<bhttp::string_body> read(const std::string& head, const std::string& body = {}) {
  bhttp::response_parser<bhttp::string_body> parser;
  parser.eager(true);
  boost::beast::error_code error;
  const auto all = head + body;
  parser.put(boost::asio::buffer(all), error);
  CAPTURE(all, error.message());
  REQUIRE(parser.is_header_done());
  return parser.release();
}

std::string head_of(const http::Response& response, unsigned version, bool keep_alive) {
  return http::answer_head(response, {version, keep_alive, kDate});
}

}  // namespace

TEST_CASE("a head is read by another implementation as it was meant") {
  auto response = http::make_response(404, "application/json", "{}");
  response.fields.emplace_back("Retry-After", "3");
  const auto seen = read(head_of(response, 11, true), "{}");
  CHECK(seen.result_int() == 404);
  CHECK(seen.reason() == "Not Found");
  CHECK(seen.version() == 11);
  CHECK(seen[bhttp::field::date] == kDate);
  CHECK(seen[bhttp::field::server] == "frisket");
  CHECK(seen[bhttp::field::content_type] == "application/json");
  CHECK(seen[bhttp::field::retry_after] == "3");
  CHECK(seen["Content-Security-Policy"].starts_with("default-src 'self';"));
  CHECK(seen["X-Content-Type-Options"] == "nosniff");
  CHECK(seen[bhttp::field::content_length] == "2");
  CHECK(seen.body() == "{}");
}

TEST_CASE("the connection's fate is told where the version does not imply it") {
  const auto response = http::make_response(200, "text/plain", "");
  for (const unsigned version : {10U, 11U})
    for (const bool keep : {true, false}) {
      CAPTURE(version, keep);
      const auto seen = read(head_of(response, version, keep));
      CHECK(seen.keep_alive() == keep);
      CHECK((seen.count(bhttp::field::connection) == 1) == (keep == (version == 10)));
    }
}

// RFC 9110 sections 8.6 and 15.4.5.
TEST_CASE("no length is told of a stream, or of what a 304 does not send") {
  auto unchanged = http::make_response(200, "text/plain", "");
  unchanged.status = 304;
  CHECK(read(head_of(unchanged, 11, true)).count(bhttp::field::content_length) == 0);
  auto stream = http::make_response(200, "text/event-stream", "id: 1\n\n");
  stream.follow = http::EventFollow{};
  CHECK(read(head_of(stream, 11, false)).count(bhttp::field::content_length) == 0);
}

TEST_CASE("a value with line breaks begins no field of its own") {
  auto response = http::make_response(200, "text/plain", "");
  response.fields.emplace_back("ETag", "\"a\"\r\nSet-Cookie: b\0c");
  const auto head = head_of(response, 11, true);
  CHECK(head.find("\nSet-Cookie") == std::string::npos);
  CHECK(read(head).count("Set-Cookie") == 0);
}

// RFC 9110 section 5.6.7, its own example.
TEST_CASE("a date is written as HTTP has it, and anew when the second changes") {
  http::DateText date;
  const model::WallTime example{std::chrono::sys_days{std::chrono::November / 6 / 1994} + 8h + 49min + 37s};
  CHECK(date.of(example) == "Sun, 06 Nov 1994 08:49:37 GMT");
  CHECK(date.of(example + 999ms) == "Sun, 06 Nov 1994 08:49:37 GMT");
  CHECK(date.of(example + 1s) == "Sun, 06 Nov 1994 08:49:38 GMT");
  CHECK(date.of(kEight) == kDate);
}
