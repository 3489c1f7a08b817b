// A configuration that is whole, to which each test adds the one thing it is about.
#pragma once

#include <catch2/catch.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "config/loader.h"
#include "temporary_folder.h"

namespace frisket::config {

// Places are kept: the part that a test adds comes first, so its line 1 is line 1.
inline const std::string kGarden = R"(
[[site]]
name = "glasshouse"
[[credential]]
name = "office-read"
community_file = "office-read"
)";

// What is said of each credential that is a community.
inline const std::string kInClear =
    "warning: credential.version: the community and all that is read with it travel in clear; version = \"3\" "
    "protects them";

// What is said of a configuration without a file of tokens.
inline const std::string kNoTokens =
    "warning: daemon.tokens: missing: everybody on this machine may change what the daemon does; a file of tokens says "
    "who may";

struct Garden {
  TemporaryFolder folder;
  Garden() {
    folder.write("office-read", "fern\n");
    folder.write("office-key", "moss and fern\n");
  }

  Loaded load_with_all_said(std::string_view text) const { return load_text(text, folder.path() / "frisket.toml"); }

  // Without the warning that every configuration without tokens gets, which is not what the other tests are about.
  Loaded load_whole(std::string_view text) const {
    auto loaded = load_with_all_said(text);
    std::erase_if(loaded.findings, [](const Finding& finding) { return finding.text().ends_with(kNoTokens); });
    return loaded;
  }

  // Nor with that of every community.
  Loaded load(std::string_view text) const {
    auto loaded = load_whole(text);
    std::erase_if(loaded.findings, [](const Finding& finding) { return finding.text().ends_with(kInClear); });
    return loaded;
  }

  // "3:9: error: ..." for each finding.
  std::vector<std::string> findings(std::string_view text) const {
    std::vector<std::string> lines;
    const auto file = (folder.path() / "frisket.toml").string();
    for (const auto& finding : load(text).findings) {
      const auto line = finding.text();
      REQUIRE(line.substr(0, file.size() + 1) == file + ":");
      lines.push_back(line.substr(file.size() + 1));
    }
    return lines;
  }

  // The only finding; a failure of the test if there are more or none.
  std::string finding(std::string_view text) const {
    const auto lines = findings(text);
    CAPTURE(lines);
    REQUIRE(lines.size() == 1);
    return lines.front();
  }
};

inline std::string device(std::string_view name, std::string_view address, std::string_view more = {}) {
  return "[[device]]\nname = \"" + std::string(name) + "\"\naddress = \"" + std::string(address) +
         "\"\nsite = \"glasshouse\"\ncredentials = [\"office-read\"]\n" + std::string(more);
}

}  // namespace frisket::config
