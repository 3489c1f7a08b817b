// [[credential]] with version = "3": what is taken, what is refused, and which weaknesses are told of.
#include <catch2/catch.hpp>

#include "fixture.h"

namespace frisket::config {
namespace {

using Catch::Matchers::Contains;

std::string user(std::string_view keys) {
  return "[[credential]]\nname = \"reader\"\nversion = \"3\"\nuser = \"frisket\"\n" + std::string(keys);
}

const std::string kAuthentication = "authentication = \"sha-256\"\nauthentication_password_file = \"office-key\"\n";
const std::string kPrivacy = "privacy = \"aes-128\"\nprivacy_password_file = \"office-key\"\n";

TEST_CASE("a user with authentication and privacy is taken without a word") {
  const Garden garden;
  const auto loaded = garden.load_whole(user(kAuthentication + kPrivacy + "context = \"tray room\"\n"));
  CHECK(loaded.findings.empty());
  REQUIRE(loaded.config.credentials.size() == 1);
  const auto& credential = loaded.config.credentials[0];
  CHECK(credential.version == SnmpVersion::v3);
  CHECK(credential.community.empty());
  CHECK(credential.user ==
        User{"frisket", Authentication::sha_256, "moss and fern", Privacy::aes_128, "moss and fern", "tray room"});
}

TEST_CASE("every word of authentication and privacy stands for its own") {
  const Garden garden;
  const std::pair<const char*, Authentication> authentications[] = {
      {"md5", Authentication::md5},         {"sha", Authentication::sha},         {"sha-224", Authentication::sha_224},
      {"sha-256", Authentication::sha_256}, {"sha-384", Authentication::sha_384}, {"sha-512", Authentication::sha_512}};
  const std::pair<const char*, Privacy> privacies[] = {{"none", Privacy::none},
                                                       {"des", Privacy::des},
                                                       {"aes-128", Privacy::aes_128},
                                                       {"aes-192", Privacy::aes_192},
                                                       {"aes-256", Privacy::aes_256}};
  for (const auto& [authentication_word, authentication] : authentications) {
    for (const auto& [privacy_word, privacy] : privacies) {
      auto text = user("authentication = \"" + std::string(authentication_word) +
                       "\"\nauthentication_password_file = \"office-key\"\nprivacy = \"" + privacy_word + "\"\n");
      if (privacy != Privacy::none) text += "privacy_password_file = \"office-key\"\n";
      const auto loaded = garden.load(text);
      REQUIRE(loaded.ok());
      CHECK(loaded.config.credentials[0].user.authentication == authentication);
      CHECK(loaded.config.credentials[0].user.privacy == privacy);
    }
  }
}

TEST_CASE("what is weak is named, once for each weakness, and nothing else is") {
  const Garden garden;
  CHECK(garden.finding(user("")) ==
        "1:1: warning: credential.authentication: \"none\": anybody can pass for this user, and everybody on the way "
        "can read along");
  CHECK(garden.finding(user(kAuthentication)) ==
        "1:1: warning: credential.privacy: \"none\": everybody on the way can read along");
  CHECK(garden.finding(user("authentication = \"md5\"\nauthentication_password_file = \"office-key\"\n" + kPrivacy)) ==
        "5:18: warning: credential.authentication: \"md5\" is weak; \"sha-256\" or more is not");
  CHECK(garden.finding(user(kAuthentication + "privacy = \"des\"\nprivacy_password_file = \"office-key\"\n")) ==
        "7:11: warning: credential.privacy: \"des\" is broken in a day by anybody; \"aes-128\" or more is not");
  for (const auto* version : {"1", "2c"}) {
    const auto text =
        "[[credential]]\nname = \"a\"\nversion = \"" + std::string(version) + "\"\ncommunity_file = \"office-read\"\n";
    const auto loaded = garden.load_whole(text);
    REQUIRE(loaded.findings.size() == 1);
    CHECK_THAT(loaded.findings[0].text(), Contains(":3:11: " + kInClear));
  }
}

TEST_CASE("a user without a name, or with a secret that is missing, is refused") {
  const Garden garden;
  CHECK_THAT(garden.finding("[[credential]]\nname = \"a\"\nversion = \"3\"\n" + kAuthentication + kPrivacy),
             Contains("error: credential.user: missing"));
  CHECK_THAT(garden.finding(user("authentication = \"sha\"\n" + kPrivacy)),
             Contains("error: credential.authentication_password_file: missing"));
  CHECK_THAT(garden.finding(user(kAuthentication + "privacy = \"aes-256\"\n")),
             Contains("error: credential.privacy_password_file: missing"));
  CHECK_THAT(garden.findings(user("authentication = \"sha-3\"\n")).front(),
             Contains("found \"sha-3\", allowed: \"none\", \"md5\", \"sha\""));
}

TEST_CASE("privacy without authentication is refused, as are keys that would do nothing") {
  const Garden garden;
  CHECK_THAT(garden.finding(user(kPrivacy)),
             Contains("error: credential.privacy: found privacy without authentication"));
  CHECK_THAT(garden.findings(user("authentication_password_file = \"office-key\"\n")).back(),
             Contains("error: credential.authentication_password_file: of no use with authentication = \"none\""));
  CHECK_THAT(garden.findings(user(kAuthentication + "privacy_password_file = \"office-key\"\n")).back(),
             Contains("error: credential.privacy_password_file: of no use with privacy = \"none\""));
  CHECK_THAT(garden.finding(user(kAuthentication + kPrivacy + "community_file = \"office-read\"\n")),
             Contains("error: credential.community_file: SNMPv3 has no community"));
  CHECK_THAT(garden.finding(user(kAuthentication + "authentication_password = \"moss and fern\"\n" + kPrivacy)),
             Contains("found both authentication_password and authentication_password_file"));
}

// RFC 3414 section 11.2.
TEST_CASE("a password has at least 8 octets, in a file or in place, and is never shown") {
  const Garden garden;
  garden.folder.write("short", "hidden7\n");
  garden.folder.write("long-enough", "hidden-8\n");
  const auto in_file = [&](std::string_view file) {
    return garden.findings(user("authentication = \"sha-256\"\nauthentication_password_file = \"" + std::string(file) +
                                "\"\n" + kPrivacy));
  };
  REQUIRE(in_file("short").size() == 1);
  CHECK_THAT(in_file("short")[0], Contains("found \"short\" with content that is not shown, allowed: one line of 8 to "
                                           "255 bytes, without control characters"));
  CHECK(in_file("long-enough").empty());
  const auto in_place = [&](std::string_view password) {
    return garden.findings(
        user(kAuthentication + "privacy = \"aes-128\"\nprivacy_password = \"" + std::string(password) + "\"\n"));
  };
  for (const auto* password : {"hidden7", "hidden-8"}) {
    const auto lines = in_place(password);
    CHECK_FALSE(lines.empty());
    for (const auto& line : lines) CHECK(line.find("hidden") == std::string::npos);
  }
  CHECK_THAT(in_place("hidden-8")[0], Contains("warning: credential.privacy_password: a secret in the configuration"));
}

}  // namespace
}  // namespace frisket::config
