// [[credential]].
#include <algorithm>
#include <array>
#include <utility>

#include "config/secret_key.h"

namespace frisket::config {
namespace {

constexpr std::size_t kShortestPassword = 8;  // RFC 3414 section 11.2

constexpr std::array<std::string_view, 2> kCommunityKeys = {"community_file", "community"};
constexpr std::array<std::string_view, 8> kUserKeys = {"user",
                                                       "authentication",
                                                       "authentication_password_file",
                                                       "authentication_password",
                                                       "privacy",
                                                       "privacy_password_file",
                                                       "privacy_password",
                                                       "context"};

// A secret that is in a file or in place, under two keys.
struct SecretKeys {
  std::string_view file;
  std::string_view in_place;
  std::string_view what;
  std::size_t shortest;
};
constexpr SecretKeys kCommunity{"community_file", "community", "the community", 1};
constexpr SecretKeys kAuthenticationPassword{"authentication_password_file", "authentication_password",
                                             "the password of authentication", kShortestPassword};
constexpr SecretKeys kPrivacyPassword{"privacy_password_file", "privacy_password", "the password of privacy",
                                      kShortestPassword};

std::string read_secret_of(Reading& reading, Section& section, const SecretKeys& keys) {
  const bool by_file = section.has(keys.file);
  const bool in_place = section.has(keys.in_place);
  if (by_file && in_place) {
    section.refuse(keys.in_place, "both " + std::string(keys.in_place) + " and " + std::string(keys.file),
                   "one of them");
    return {};
  }
  if (!by_file && !in_place) {
    section.error(keys.file, "missing, allowed: the path of a file that holds " + std::string(keys.what));
    return {};
  }
  if (by_file) return secret_from_file(reading, section, keys.file, keys.shortest);
  section.warn(keys.in_place, "a secret in the configuration itself; " + std::string(keys.file) + " keeps it apart");
  return section.text(keys.in_place);
}

SnmpVersion version_from(std::string_view word) {
  if (word == "1") return SnmpVersion::v1;
  if (word == "3") return SnmpVersion::v3;
  return SnmpVersion::v2c;
}

Authentication authentication_from(std::string_view word) {
  constexpr std::array<std::pair<std::string_view, Authentication>, 6> kWords = {{
      {"md5", Authentication::md5},
      {"sha", Authentication::sha},
      {"sha-224", Authentication::sha_224},
      {"sha-256", Authentication::sha_256},
      {"sha-384", Authentication::sha_384},
      {"sha-512", Authentication::sha_512},
  }};
  const auto found = std::ranges::find(kWords, word, &std::pair<std::string_view, Authentication>::first);
  return found == kWords.end() ? Authentication::none : found->second;
}

Privacy privacy_from(std::string_view word) {
  constexpr std::array<std::pair<std::string_view, Privacy>, 4> kWords = {{
      {"des", Privacy::des},
      {"aes-128", Privacy::aes_128},
      {"aes-192", Privacy::aes_192},
      {"aes-256", Privacy::aes_256},
  }};
  const auto found = std::ranges::find(kWords, word, &std::pair<std::string_view, Privacy>::first);
  return found == kWords.end() ? Privacy::none : found->second;
}

// Keys that would do nothing: whoever wrote them thinks that they do.
void refuse_keys(Section& section, std::span<const std::string_view> keys, const std::string& why) {
  for (const auto key : keys)
    if (section.has(key)) section.error(key, why);
}

// One warning for each user, that of the greatest weakness.
void warn_of_weakness(Section& section, const User& user) {
  if (user.authentication == Authentication::none)
    section.warn("authentication", "\"none\": anybody can pass for this user, and everybody on the way can read along");
  else if (user.privacy == Privacy::none)
    section.warn("privacy", "\"none\": everybody on the way can read along");
  else if (user.privacy == Privacy::des)
    section.warn("privacy", "\"des\" is broken in a day by anybody; \"aes-128\" or more is not");
  if (user.authentication == Authentication::md5)
    section.warn("authentication", "\"md5\" is weak; \"sha-256\" or more is not");
}

User read_user(Reading& reading, Section& section) {
  User user;
  if (!section.has("user")) section.error("user", "missing, allowed: the name of the user on the device");
  user.name = section.text("user");
  user.context = section.text("context");
  user.authentication = authentication_from(section.text("authentication"));
  user.privacy = privacy_from(section.text("privacy"));
  constexpr std::array kAuthenticationKeys = {kAuthenticationPassword.file, kAuthenticationPassword.in_place};
  constexpr std::array kPrivacyKeys = {kPrivacyPassword.file, kPrivacyPassword.in_place};
  if (user.authentication == Authentication::none)
    refuse_keys(section, kAuthenticationKeys, "of no use with authentication = \"none\"");
  else
    user.authentication_password = read_secret_of(reading, section, kAuthenticationPassword);
  if (user.privacy == Privacy::none)
    refuse_keys(section, kPrivacyKeys, "of no use with privacy = \"none\"");
  else
    user.privacy_password = read_secret_of(reading, section, kPrivacyPassword);
  if (user.authentication == Authentication::none && user.privacy != Privacy::none)
    section.refuse("privacy", "privacy without authentication", "\"none\", or an authentication");
  else
    warn_of_weakness(section, user);
  return user;
}

}  // namespace

std::vector<Credential> read_credentials(Reading& reading) {
  std::vector<Credential> credentials;
  for (const auto* table : repeated(reading, "credential")) {
    Section section(*table, "credential", reading.findings);
    Credential credential;
    credential.name = section.text("name");
    reading.credentials.add(section, credential.name);
    credential.version = version_from(section.text("version"));
    if (credential.version == SnmpVersion::v3) {
      refuse_keys(section, kCommunityKeys, "SNMPv3 has no community");
      credential.user = read_user(reading, section);
    } else {
      refuse_keys(section, kUserKeys, "only SNMPv3 has it: version = \"3\"");
      credential.community = read_secret_of(reading, section, kCommunity);
      section.warn("version",
                   "the community and all that is read with it travel in clear; version = \"3\" protects them");
    }
    credentials.push_back(std::move(credential));
  }
  return credentials;
}

}  // namespace frisket::config
