// [[credential]].
#include "config/secret_file.h"
#include "config/sections.h"

namespace frisket::config {
namespace {

constexpr std::size_t kLongestCommunity = 255;

bool is_community(std::string_view text) {
  for (const char c : text)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) return false;
  return !text.empty() && text.size() <= kLongestCommunity;
}

std::string community_from_file(Reading& reading, Section& section) {
  const auto path = section.text("community_file");
  if (path.empty()) return {};
  const auto secret = read_secret(reading.resolved(path));
  if (!secret) {
    section.refuse("community_file", in_quotes(path) + " (" + secret.error().what + ")",
                   "a regular file of 1 to 4096 bytes that can be read");
    return {};
  }
  if (secret->others_may_read)
    section.warn("community_file", in_quotes(path) + " can be read by everybody on this machine; chmod o-r ends that");
  if (!is_community(secret->content)) {
    section.refuse("community_file", in_quotes(path) + " with content that is not shown",
                   "one line of 1 to 255 bytes, without control characters");
    return {};
  }
  return secret->content;
}

std::string read_community(Reading& reading, Section& section) {
  const bool by_file = section.has("community_file");
  const bool in_place = section.has("community");
  if (by_file && in_place) {
    section.refuse("community", "both community and community_file", "one of them");
    return {};
  }
  if (!by_file && !in_place) {
    section.error("community_file", "missing, allowed: the path of a file that holds the community");
    return {};
  }
  if (by_file) return community_from_file(reading, section);
  section.warn("community", "a secret in the configuration itself; community_file keeps it apart");
  return section.text("community");
}

SnmpVersion version_from(std::string_view word) {
  if (word == "1") return SnmpVersion::v1;
  if (word == "3") return SnmpVersion::v3;
  return SnmpVersion::v2c;
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
    if (credential.version == SnmpVersion::v3)
      section.refuse("version", "\"3\", which needs a user that this version of Frisket cannot be given yet",
                     "\"1\" or \"2c\"");
    else
      credential.community = read_community(reading, section);
    credentials.push_back(std::move(credential));
  }
  return credentials;
}

}  // namespace frisket::config
