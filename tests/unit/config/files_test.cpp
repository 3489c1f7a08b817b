// What the configuration points at: secrets, programs, time zones.
#include <sys/stat.h>
#include <unistd.h>

#include <catch2/catch.hpp>

#include "config/secret_file.h"
#include "config/time_zones.h"
#include "fixture.h"

namespace frisket::config {
namespace {

using Catch::Matchers::Contains;

std::string credential(std::string_view keys) { return "[[credential]]\nname = \"a\"\n" + std::string(keys); }

std::string with_file(std::string_view file) { return credential("community_file = \"" + std::string(file) + "\"\n"); }

std::string hook(const std::string& program) {
  return "[[hook]]\nname = \"h\"\ntype = \"exec\"\nprogram = \"" + program + "\"\n";
}

TEST_CASE("a secret is what its file holds, without one line end") {
  const Garden garden;
  const auto community = [&](std::string_view content) {
    garden.folder.write("secret", content, 0600);
    const auto secret = read_secret(garden.folder.path() / "secret");
    return secret ? secret->content : "refused: " + secret.error().what;
  };
  CHECK(community("fern") == "fern");
  CHECK(community("fern\n") == "fern");
  CHECK(community("fern\r\n") == "fern");
  CHECK(community("fern\n\n") == "fern\n");
  CHECK(community(" fern ") == " fern ");
  CHECK(community("") == "refused: empty");
  CHECK(community("\n") == "refused: empty");
  CHECK(community(std::string(4096, 'x')) == std::string(4096, 'x'));
  CHECK(community(std::string(4097, 'x')) == "refused: larger than 4096 bytes");
}

TEST_CASE("a secret that is not a file that can be read is refused by name, and nothing waits for it") {
  const Garden garden;
  REQUIRE(::mkfifo((garden.folder.path() / "fifo").c_str(), 0600) == 0);
  CHECK(garden.finding(with_file("missing")) ==
        "3:18: error: credential.community_file: found \"missing\" (No such file or directory), allowed: a regular "
        "file of "
        "1 to 4096 bytes that can be read");
  CHECK_THAT(garden.finding(with_file("fifo")), Contains("found \"fifo\" (not a regular file)"));
  CHECK_THAT(garden.finding(with_file(".")), Contains("found \".\" (not a regular file)"));
  CHECK_THAT(garden.finding(with_file("/dev/zero")), Contains("found \"/dev/zero\" (not a regular file)"));
}

TEST_CASE("no message shows a secret") {
  const Garden garden;
  garden.folder.write("two-lines", "hidden-a\nhidden-b\n");
  const auto two_lines = garden.finding(with_file("two-lines"));
  CHECK_THAT(two_lines, Contains("content that is not shown"));
  CHECK(two_lines.find("hidden") == std::string::npos);
  for (const auto& text : {credential("community = \"hidden\\n\"\n"), credential("community = \"hidden\"\n"),
                           credential("comunity = \"hidden\"\n"), credential("community = [\"hidden\"]\n"),
                           credential("community = \"hidden\"\ncommunity_file = \"x\"\n")}) {
    const auto lines = garden.findings(text);
    CHECK_FALSE(lines.empty());
    for (const auto& line : lines) CHECK(line.find("hidden") == std::string::npos);
  }
  for (const auto& line : garden.findings(credential("community = 4711\n")))
    CHECK(line.find("4711") == std::string::npos);
}

TEST_CASE("a secret in the configuration itself is a warning, as is a file that everybody may read") {
  const Garden garden;
  CHECK(garden.finding(credential("community = \"fern\"\n")) ==
        "3:13: warning: credential.community: a secret in the configuration itself; community_file keeps it apart");
  garden.folder.write("open", "fern\n", 0644);
  CHECK(garden.finding(with_file("open")) ==
        "3:18: warning: credential.community_file: \"open\" can be read by everybody on this machine; chmod o-r ends "
        "that");
  garden.folder.write("closed", "fern\n", 0640);
  CHECK(garden.findings(with_file("closed")).empty());
}

TEST_CASE("a credential has exactly one community, and no keys of a user") {
  const Garden garden;
  CHECK_THAT(garden.finding(credential("")), Contains("credential.community_file: missing"));
  CHECK_THAT(garden.finding(credential("community = \"a\"\ncommunity_file = \"office-read\"\n")),
             Contains("found both community and community_file, allowed: one of them"));
  CHECK_THAT(garden.finding(credential("version = \"2\"\ncommunity_file = \"office-read\"\n")),
             Contains("found \"2\", allowed: \"1\", \"2c\" or \"3\""));
  for (const auto* key : {"user = \"a\"", "authentication = \"sha\"", "authentication_password_file = \"office-key\"",
                          "privacy = \"des\"", "privacy_password_file = \"office-key\"", "context = \"a\""}) {
    CHECK_THAT(garden.finding(credential("community_file = \"office-read\"\n" + std::string(key) + "\n")),
               Contains("only SNMPv3 has it: version = \"3\""));
  }
}

TEST_CASE("a hook's program is an absolute path of a file that can be executed") {
  const Garden garden;
  CHECK(garden.findings(hook(garden.folder.write("run", "#!/bin/sh\n", 0700).string())).empty());
  CHECK_THAT(garden.finding(hook(garden.folder.write("no-run", "#!/bin/sh\n", 0600).string())),
             Contains("(not executable)"));
  CHECK_THAT(garden.finding(hook(garden.folder.path().string())), Contains("(not a regular file)"));
  CHECK_THAT(garden.finding(hook((garden.folder.path() / "missing").string())),
             Contains("(No such file or directory)"));
  CHECK(garden.finding(hook("run")) ==
        "4:11: error: hook.program: found \"run\" (not absolute), allowed: the absolute path of an executable file");
  CHECK_THAT(garden.finding(hook(garden.folder.write("shared", "#!/bin/sh\n", 0777).string())),
             Contains("warning: hook.program:") && Contains("can be changed by everybody"));
}

TEST_CASE("only zones that the machine has are known, each by its own name") {
  const TemporaryFolder folder;
  folder.write("Europe/Dublin", "TZif2");
  folder.write("posix/Europe/Dublin", "TZif2");
  folder.write("tzdata.zi", "# version");
  TimeZones zones(folder.path());
  CHECK(zones.installed());
  CHECK(zones.knows("Europe/Dublin"));
  CHECK_FALSE(zones.knows("Europe"));
  CHECK_FALSE(zones.knows("Europe/Nowhere"));
  CHECK_FALSE(zones.knows("posix/Europe/Dublin"));
  CHECK_FALSE(zones.knows("tzdata.zi"));
  CHECK_FALSE(TimeZones(folder.path() / "absent").installed());
}

}  // namespace
}  // namespace frisket::config
