// Every sample under config/ is loaded, as it would be once it is installed.
//
// The samples name the places of an installed system. A test has no such places, so it reads
// each sample with those folders replaced: secrets are made as the sample names them,
// programs are those of this source tree.
#include <algorithm>
#include <catch2/catch.hpp>
#include <regex>

#include "fixture.h"

namespace frisket::config {
namespace {

const std::filesystem::path kSamples = std::filesystem::path(FRISKET_SOURCE_DIR) / "config";

std::string content_of(const std::filesystem::path& file) {
  std::ifstream stream(file, std::ios::binary);
  REQUIRE(stream);
  return {std::istreambuf_iterator<char>(stream), {}};
}

void replace_all(std::string& text, std::string_view from, const std::string& to) {
  for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; at += to.size())
    text.replace(at, from.size(), to);
}

Loaded loaded_as_installed(std::string text) {
  const TemporaryFolder folder;
  const std::regex secret("_file = \"/etc/frisket/([^\"]+)\"");
  for (std::sregex_iterator found(text.begin(), text.end(), secret), end; found != end; ++found)
    folder.write((*found)[1], "moss and fern\n");
  if (text.find("\ntokens = \"/etc/frisket/tokens\"") != std::string::npos)
    folder.write("tokens", "desk operate " + std::string(64, '0') + "\n");
  replace_all(text, "/etc/frisket/", folder.path().string() + "/");
  replace_all(text, "/usr/share/frisket/hooks/", (kSamples / "examples/hooks").string() + "/");
  auto loaded = load_text(text, folder.path() / "frisket.toml");
  // All that may be said of a sample is that its communities travel in clear, once for each, and that it has no tokens.
  const auto& credentials = loaded.config.credentials;
  const auto communities = std::ranges::count_if(
      credentials, [](const Credential& credential) { return credential.version != SnmpVersion::v3; });
  for (const auto& finding : loaded.findings) {
    CAPTURE(finding.text());
    CHECK((finding.text().ends_with(kInClear) || finding.text().ends_with(kNoTokens)));
  }
  CHECK(loaded.findings.size() == static_cast<std::size_t>(communities) + (loaded.config.tokens ? 0 : 1));
  return loaded;
}

// Drops the "#" of settings that are off: those not followed by a space.
std::string turned_on(const std::string& text) {
  return std::regex_replace(text, std::regex("(^|\n)#(?=[^ \n])"), "$1");
}

TEST_CASE("every example is loaded without an error or a warning") {
  std::size_t examples = 0;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(kSamples)) {
    if (entry.path().extension() != ".toml") continue;
    ++examples;
    INFO(entry.path().filename().string());
    loaded_as_installed(content_of(entry.path()));
  }
  CHECK(examples == 7);
}

TEST_CASE("the sample that is installed is the defaults, with no device yet") {
  const auto loaded = loaded_as_installed(content_of(kSamples / "frisket.toml"));
  CHECK(loaded.config.daemon == Daemon{});
  CHECK(loaded.config.polling == Polling{});
  CHECK(loaded.config.devices.empty());
}

TEST_CASE(
    "the settings that are off in the installed sample are right when turned on, and change only what they name") {
  const auto on = loaded_as_installed(turned_on(content_of(kSamples / "frisket.toml")));
  const auto off = loaded_as_installed("");
  CHECK(on.config.polling == off.config.polling);
  CHECK(on.config.rules == off.config.rules);
  CHECK(on.config.sites.size() == 1);
  CHECK(on.config.devices.size() == 1);
  REQUIRE(on.config.hooks.size() == 1);
  CHECK(on.config.hooks.front().name == "desk");
}

TEST_CASE("the hooks sample tells the desk of low supplies and of trays and covers left open") {
  const auto loaded = loaded_as_installed(content_of(kSamples / "examples/hooks.toml"));
  const auto& kinds = loaded.config.hooks.front().kinds;
  for (const auto* kind : {"toner-low", "input-tray-missing", "cover-open"})
    CHECK(std::ranges::find(kinds, kind) != kinds.end());
}

}  // namespace
}  // namespace frisket::config
