#include "daemon/http/host_check.h"

#include <catch2/catch.hpp>

using frisket::http::HostRule;
using frisket::http::is_our_host;

TEST_CASE("loopback names and addresses are ours, with or without a port") {
  const HostRule rule;
  for (const auto* host : {"localhost", "LocalHost", "localhost:9640", "127.0.0.1", "127.0.0.1:9640", "127.8.9.10:1",
                           "[::1]", "[::1]:9640", "localhost:"}) {
    CAPTURE(host);
    CHECK(is_our_host(host, rule));
  }
}

TEST_CASE("any other name is not ours, however it dresses up") {
  const HostRule rule;
  for (const auto* host : {"",
                           "example.org",
                           "127.0.0.1.example.org",
                           "localhost.example.org",
                           "10.0.0.1",
                           "0.0.0.0",
                           "[::]",
                           "[::2]",
                           "::1",
                           "[127.0.0.1]",
                           "[localhost]",
                           "localhost:port",
                           "localhost:99999999",
                           "[::1",
                           "[::1]x",
                           "localhost@example.org",
                           "2130706433",
                           "127.1",
                           "0x7f000001",
                           " localhost",
                           "localhost "}) {
    CAPTURE(host);
    CHECK_FALSE(is_our_host(host, rule));
  }
}

TEST_CASE("a configured name is ours too, in any case of letters") {
  const HostRule rule{.checked = true, .names = {"frisket.garden.example"}};
  CHECK(is_our_host("Frisket.Garden.Example:9640", rule));
  CHECK_FALSE(is_our_host("garden.example", rule));
}

TEST_CASE("without the check any name will do") {
  const HostRule rule{.checked = false, .names = {}};
  CHECK(is_our_host("example.org", rule));
}
