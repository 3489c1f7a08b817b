// What a file that is right becomes.
#include "config/loader.h"

#include <catch2/catch.hpp>

#include "fixture.h"

namespace frisket::config {
namespace {

using namespace std::chrono_literals;

TEST_CASE("an empty file is every default") {
  const Garden garden;
  const auto loaded = garden.load("");
  REQUIRE(loaded.findings.empty());
  CHECK(loaded.config.daemon == Daemon{});
  CHECK(loaded.config.polling == Polling{});
  CHECK(loaded.config.rules.supply == SupplyThreshold{});
  CHECK(loaded.config.devices.empty());
}

TEST_CASE("a device with the least keys gets the defaults of the others") {
  const Garden garden;
  const auto loaded = garden.load(kGarden + device("herbarium-copier", "192.0.2.10"));
  REQUIRE(loaded.findings.empty());
  Device expected;
  expected.name = "herbarium-copier";
  expected.address = "192.0.2.10";
  expected.site = "glasshouse";
  expected.credentials = {"office-read"};
  CHECK(loaded.config.devices == std::vector{expected});
  CHECK(loaded.config.sites == std::vector{Site{"glasshouse", "UTC"}});
  CHECK(loaded.config.credentials == std::vector{Credential{"office-read", SnmpVersion::v2c, "fern"}});
}

TEST_CASE("every key reaches the configuration") {
  const Garden garden;
  const auto program = garden.folder.write("tell-desk", "#!/bin/sh\n", 0750);
  const auto loaded = garden.load(R"(
[daemon]
listen = "[::1]:9641"
state_dir = "state"
socket = ""
log_level = "debug"
[polling]
timeout = "250ms"
attempts = 2
silent_after = 5
in_flight = 64
[rules.supply]
low_at = 20
nearly_empty_at = 2.5
clear_at = 25
[[site]]
name = "glasshouse"
time_zone = "Europe/Dublin"
[[credential]]
name = "office-read"
version = "1"
community_file = "office-read"
[[device]]
name = "herbarium-copier"
address = "copier.example.org"
port = 1161
site = "glasshouse"
location = "Herbarium, first floor"
credentials = ["office-read"]
poll_interval = "5m"
[[hook]]
name = "desk"
type = "exec"
program = ")" + program.string() + R"("
arguments = ["--to", "desk"]
time_limit = "20s"
parallel = 2
kinds = ["toner-low", "cover-open"]
severity = "major"
sites = ["glasshouse"]
)");
  for (const auto& finding : loaded.findings) UNSCOPED_INFO(finding.text());
  REQUIRE(loaded.findings.empty());
  const auto& config = loaded.config;
  CHECK(config.daemon == Daemon{{"::1", 9641}, garden.folder.path() / "state", "", "debug"});
  CHECK(config.polling == Polling{250ms, 2, 5, 64});
  CHECK(config.rules.supply == SupplyThreshold{20, 2.5, 25});
  CHECK(config.sites == std::vector{Site{"glasshouse", "Europe/Dublin"}});
  CHECK(config.credentials == std::vector{Credential{"office-read", SnmpVersion::v1, "fern"}});
  CHECK(config.devices == std::vector{Device{"herbarium-copier",
                                             "copier.example.org",
                                             1161,
                                             "glasshouse",
                                             "Herbarium, first floor",
                                             {"office-read"},
                                             300s,
                                             100s,
                                             300s}});
  CHECK(config.hooks == std::vector{Hook{"desk",
                                         Hook::Type::exec,
                                         program,
                                         {"--to", "desk"},
                                         20s,
                                         2,
                                         {"toner-low", "cover-open"},
                                         model::Severity::major,
                                         {"glasshouse"}}});
}

TEST_CASE("two devices may share an address on two ports, and names may differ in case only") {
  const Garden garden;
  const auto loaded =
      garden.load(kGarden + device("copier", "192.0.2.10") + device("Copier", "192.0.2.10", "port = 1161\n"));
  CHECK(loaded.findings.empty());
  CHECK(loaded.config.devices.size() == 2);
}

TEST_CASE("a file is loaded as its text is") {
  const Garden garden;
  const auto text = kGarden + device("herbarium-copier", "192.0.2.10");
  const auto loaded = load(garden.folder.write("frisket.toml", text));
  REQUIRE(loaded.findings.size() == 2);
  CHECK(loaded.findings[0].text().ends_with(kNoTokens));
  CHECK(loaded.findings[1].text().ends_with(kInClear));
  CHECK(loaded.config == garden.load(text).config);
}

TEST_CASE("a file that cannot be read says why, without a place") {
  const Garden garden;
  const auto missing = garden.folder.path() / "absent.toml";
  const auto loaded = load(missing);
  CHECK_FALSE(loaded.ok());
  REQUIRE(loaded.findings.size() == 1);
  CHECK(loaded.findings.front().text() == missing.string() + ": error: cannot be read: No such file or directory");
  REQUIRE(load(garden.folder.path()).findings.size() == 1);
  CHECK(load(garden.folder.path()).findings.front().what == "cannot be read: not a regular file");
  CHECK(load("/dev/null").findings.front().what == "cannot be read: not a regular file");
}

TEST_CASE("warnings do not keep a configuration from being used") {
  const Garden garden;
  const auto loaded = garden.load("[[credential]]\nname = \"a\"\ncommunity = \"fern\"\n");
  REQUIRE(loaded.findings.size() == 1);
  CHECK(loaded.findings.front().gravity == Finding::Gravity::warning);
  CHECK(loaded.ok());
  CHECK(loaded.config.credentials.front().community == "fern");
}

}  // namespace
}  // namespace frisket::config
