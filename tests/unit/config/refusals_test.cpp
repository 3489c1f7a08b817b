// What is refused, where, and in which words.
#include <catch2/catch.hpp>

#include "fixture.h"

namespace frisket::config {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::StartsWith;

TEST_CASE("an unknown key is refused at its own place, with the nearest key that is known") {
  const Garden garden;
  CHECK(garden.finding("[polling]\nattempts = 2\n  time_out = \"1s\"\n") ==
        "3:3: error: polling: unknown key \"time_out\"; did you mean \"timeout\"?, allowed: \"timeout\", \"attempts\", "
        "\"silent_after\", \"in_flight\" or \"in_flight_per_subnet\"");
  CHECK(garden.finding("[polling]\nxyzzy = 1\n") ==
        "2:1: error: polling: unknown key \"xyzzy\", allowed: \"timeout\", \"attempts\", \"silent_after\", "
        "\"in_flight\" or \"in_flight_per_subnet\"");
}

TEST_CASE("a device in trouble is asked no less often than usual, and a silent one no more often") {
  const Garden garden;
  CHECK(garden.finding(device("d", "192.0.2.77", "poll_interval = \"1m\"\nattention_interval = \"61s\"\n") + kGarden) ==
        "7:22: error: device.attention_interval: found \"61s\", allowed: at most poll_interval, which is \"1m\"");
  CHECK(garden.finding(device("d", "192.0.2.77", "poll_interval = \"1m\"\nsilent_interval = \"59s\"\n") + kGarden) ==
        "7:19: error: device.silent_interval: found \"59s\", allowed: at least poll_interval, which is \"1m\"");
}

TEST_CASE("a raw port is none unless it is given, and a port when it is") {
  const Garden garden;
  const auto text = kGarden + device("d", "192.0.2.77", "raw_port = 9100\n") + device("e", "192.0.2.78");
  const auto loaded = garden.load(text);
  REQUIRE(loaded.ok());
  CHECK(loaded.config.find_device("d")->raw_port == 9100);
  CHECK_FALSE(loaded.config.find_device("e")->raw_port);
  for (const auto* wrong : {"0", "65536", "-1", "\"9100\"", "91.5"})
    CHECK_THAT(garden.finding(kGarden + device("d", "192.0.2.77", "raw_port = " + std::string(wrong) + "\n")),
               Contains("device.raw_port: found ") && Contains("allowed: a whole number from 1 to 65535"));
}

TEST_CASE("an unknown section is refused") {
  const Garden garden;
  CHECK_THAT(
      garden.finding("[deamon]\n"),
      StartsWith(
          "1:2: error: unknown section \"deamon\"; did you mean \"daemon\"?, allowed: \"daemon\", \"polling\","));
  CHECK_THAT(garden.finding("x = 1\n"), StartsWith("1:1: error: unknown section \"x\", allowed:"));
}

TEST_CASE("a wrong type says what was found and what is allowed") {
  const Garden garden;
  CHECK(garden.finding("[polling]\nattempts = \"three\"\n") ==
        "2:12: error: polling.attempts: found \"three\", allowed: a whole number from 1 to 10");
  CHECK_THAT(garden.finding("[polling]\nattempts = 2.0\n"), Contains("found 2.0"));
  CHECK_THAT(garden.finding("[polling]\nattempts = true\n"), Contains("found true"));
  CHECK_THAT(garden.finding("[polling]\nattempts = [2]\n"), Contains("found a list"));
  CHECK_THAT(garden.finding("[polling]\nattempts = {}\n"), Contains("found a table"));
  CHECK_THAT(garden.finding("[polling]\nattempts = 2026-11-25\n"), Contains("found a date or a time"));
  CHECK(garden.finding("[polling]\ntimeout = 30\n") ==
        "2:11: error: polling.timeout: found 30, allowed: a duration from \"100ms\" to \"1m\"");
  CHECK(garden.finding("[daemon]\nlog_level = \"inform\"\n") ==
        "2:13: error: daemon.log_level: found \"inform\", allowed: \"debug\", \"info\", \"warning\" or \"error\"; did "
        "you "
        "mean \"info\"?");
}

TEST_CASE("each end of a range is allowed and what lies beyond is not") {
  const Garden garden;
  CHECK(garden.findings("[polling]\nattempts = 1\ntimeout = \"100ms\"\n").empty());
  CHECK(garden.findings("[polling]\nattempts = 10\ntimeout = \"60s\"\n").empty());
  CHECK(garden.findings("[polling]\nattempts = 0\ntimeout = \"99ms\"\n").size() == 2);
  CHECK(garden.findings("[polling]\nattempts = 11\ntimeout = \"61s\"\n").size() == 2);
  CHECK(garden.findings("[polling]\nattempts = 9223372036854775807\n").size() == 1);
  CHECK(garden.findings("[polling]\nattempts = -9223372036854775808\n").size() == 1);
}

TEST_CASE("an interval of whole seconds takes no fraction of one") {
  const Garden garden;
  const auto with = [&](std::string_view interval) {
    return garden.findings(kGarden + device("a", "192.0.2.1", "poll_interval = \"" + std::string(interval) + "\"\n"));
  };
  CHECK(with("2000ms").empty());
  REQUIRE(with("1500ms").size() == 1);
  CHECK_THAT(with("1500ms").front(),
             Contains("found \"1500ms\", allowed: a duration of whole seconds from \"1s\" to \"24h\""));
}

TEST_CASE("a key that is missing is named at the head of its section") {
  const Garden garden;
  const auto lines = garden.findings("[[site]]\nname = \"a\"\n[[device]]\nname = \"copier\"\n");
  CHECK(lines == std::vector<std::string>{
                     "3:1: error: device.address: missing, allowed: an IP address of one machine, or a host name",
                     "3:1: error: device.site: missing, allowed: 1 to 64 letters, digits, '.', '-' and '_'",
                     "3:1: error: device.credentials: missing, allowed: a list of 1 to 16 names, unless "
                     "there is ipp"});
}

TEST_CASE("a section of the wrong form is refused") {
  const Garden garden;
  CHECK(garden.finding("[device]\nname = \"a\"\n") ==
        "1:1: error: device: found a table, allowed: sections written [[device]]");
  CHECK(garden.finding("[[polling]]\nattempts = 3\n") ==
        "1:1: error: polling: found a list, allowed: one section written [polling]");
  CHECK(garden.finding("daemon = 1\n") == "1:10: error: daemon: found 1, allowed: one section written [daemon]");
  CHECK(garden.finding("site = [1]\n") == "1:9: error: site: found 1, allowed: sections written [[site]]");
}

TEST_CASE("a name used twice names the line that has it first") {
  const Garden garden;
  CHECK(garden.finding("[[site]]\nname = \"a\"\n\n[[site]]\nname = \"a\"\n") ==
        "5:8: error: site.name: found \"a\", allowed: a name of its own; line 2 has it already");
  CHECK_THAT(garden.finding(kGarden + device("a", "192.0.2.1") + device("a", "192.0.2.2")),
             Contains("device.name: found \"a\", allowed: a name of its own; line 8 has it already"));
}

TEST_CASE("two devices on one address and port are refused however the address is spelt") {
  const Garden garden;
  CHECK(garden.finding(kGarden + device("a", "2001:db8::1") + device("b", "2001:DB8:0::1")) ==
        "14:11: error: device.address: found \"2001:DB8:0::1\" with port 161, allowed: an address and port of its own; "
        "\"a\" in line 9 has them already");
  CHECK(garden.findings(kGarden + device("a", "copier.example.") + device("b", "COPIER.example")).size() == 1);
}

TEST_CASE("a name that nobody has is refused with the nearest that somebody has") {
  const Garden garden;
  CHECK(garden.findings(kGarden + "[[device]]\nname = \"a\"\naddress = \"192.0.2.1\"\nsite = \"glashouse\"\n"
                                  "credentials = [\"office-read\", \"nobody\"]\n") ==
        std::vector<std::string>{
            "10:8: error: device.site: found \"glashouse\", allowed: the name of a [[site]]; did you mean "
            "\"glasshouse\"?",
            "11:31: error: device.credentials: found \"nobody\", allowed: the name of a [[credential]]"});
}

TEST_CASE("a site that is wrong itself still counts as known") {
  const Garden garden;
  CHECK(garden.findings("[[site]]\nname = \"a\"\ntime_zone = \"Nowhere/Land\"\n[[credential]]\nname = \"c\"\n"
                        "community_file = \"office-read\"\n[[device]]\nname = \"d\"\naddress = \"192.0.2.1\"\n"
                        "site = \"a\"\ncredentials = [\"c\"]\n") ==
        std::vector<std::string>{
            "3:13: error: site.time_zone: found \"Nowhere/Land\", allowed: a time zone that is under "
            "/usr/share/zoneinfo, such as \"Europe/Dublin\""});
}

TEST_CASE("an address of no machine or of many is refused") {
  const Garden garden;
  for (const auto* address : {"0.0.0.0", "224.0.0.1", "255.255.255.255", "::", "ff02::1", "300.1.2.3", "a b"})
    CHECK_THAT(garden.finding(kGarden + device("a", address)),
               Contains("device.address: found \"" + std::string(address)));
}

TEST_CASE("a listener that others could reach is refused without a file of tokens") {
  const Garden garden;
  for (const auto* listen : {"192.0.2.1:9640", "0.0.0.0:9640", "[::]:9640", "[2001:db8::1]:9640"})
    CHECK(garden.findings("[daemon]\nlisten = \"" + std::string(listen) + "\"\n") ==
          std::vector<std::string>{"2:10: error: daemon.listen: found \"" + std::string(listen) +
                                   "\", allowed: a loopback address, 127.0.0.0/8 or [::1]; any other only with a "
                                   "file of tokens (daemon.tokens)"});
  CHECK(garden.findings("[daemon]\nlisten = \"127.8.0.1:80\"\n").empty());
  CHECK(garden.findings("[daemon]\nlisten = \"[::1]:0\"\n").empty());
}

TEST_CASE("a list is refused entry by entry") {
  const Garden garden;
  const auto lines = garden.findings(
      "[[hook]]\nname = \"h\"\ntype = \"exec\"\nprogram = \"/bin/sh\"\n"
      "kinds = [\"toner-low\", 7, \"Toner Low\", \"toner-low\"]\n");
  REQUIRE(lines.size() == 3);
  CHECK_THAT(lines[0], StartsWith("5:23: error: hook.kinds: found 7, allowed: a list of 0 to 256 keywords"));
  CHECK_THAT(lines[1], StartsWith("5:26: error: hook.kinds: found \"Toner Low\", allowed:"));
  CHECK(lines[2] == "5:39: error: hook.kinds: found \"toner-low\" twice, allowed: once");
}

TEST_CASE("text for people is one bounded line") {
  const Garden garden;
  const auto located = [&](const std::string& location) {
    return garden.findings(kGarden + device("a", "192.0.2.1", "location = \"" + location + "\"\n")).size();
  };
  CHECK(located(std::string(255, 'x')) == 0);
  CHECK(located(std::string(256, 'x')) == 1);
  CHECK(located("first\\nfloor") == 1);
  CHECK(located("\\u0000") == 1);
  CHECK(located("Gew\xC3\xA4"
                "chshaus") == 0);
}

TEST_CASE("what a message shows of the file is one short printable line") {
  const Garden garden;
  const auto line = garden.finding("[daemon]\nlog_level = \"\\u001b[2J\\n" + std::string(500, 'x') + "\"\n");
  CHECK(line.size() < 250);
  CHECK(line.find('\x1b') == std::string::npos);
  CHECK(line.find('\n') == std::string::npos);
  CHECK_THAT(line, Contains("x...\""));
}

TEST_CASE("broken TOML gives the parser's message and place") {
  const Garden garden;
  CHECK_THAT(garden.finding("[daemon]\nlisten = \n"), StartsWith("2:10: error: TOML syntax: "));
  CHECK_THAT(garden.finding("[daemon]\nlog_level = \"info\"\nlog_level = \"info\"\n"),
             StartsWith("3:") && Contains("TOML syntax") && Contains("log_level"));
  CHECK_THAT(garden.finding("\xff\xfe"), Contains("TOML syntax"));
  CHECK_THAT(garden.finding("x = " + std::string(100000, '[')), Contains("TOML syntax"));
}

TEST_CASE("all that is wrong is said at once, in order of place") {
  const Garden garden;
  const auto lines = garden.findings(R"([daemon]
listen = "nowhere"
[polling]
attempts = 0
[[site]]
name = "a b"
[[credential]]
name = "c"
community_file = "missing"
[[device]]
name = "d"
address = "192.0.2.1"
port = 0
site = "elsewhere"
credentials = []
poll_interval = "soon"
colour = true
)");
  std::vector<std::string> places;
  for (const auto& line : lines) places.push_back(line.substr(0, line.find(' ')));
  CHECK(places ==
        std::vector<std::string>{"2:10:", "4:12:", "6:8:", "9:18:", "13:8:", "14:8:", "15:15:", "16:17:", "17:1:"});
}

TEST_CASE("a file of rubbish gives a bounded list and the number of the rest") {
  const Garden garden;
  std::string text = "[polling]\n";
  for (int i = 0; i < 5000; ++i) text += "k" + std::to_string(i) + " = 1\n";
  const auto findings = garden.load_with_all_said(text).findings;
  REQUIRE(findings.size() == 1001);
  CHECK(findings.front().text().ends_with(kNoTokens));  // which leaves room for 999
  CHECK(findings.back().what == "and 4001 more errors");
}

}  // namespace
}  // namespace frisket::config
