#include "probes/discovery/report.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "config/loader.h"
#include "probes/model/text.h"

namespace frisket::discovery {
namespace {

constexpr const char* kConfigured = R"(
[[site]]
name = "garden"
[[credential]]
name = "read"
community = "fern"
[[device]]
name = "copier"
address = "192.0.2.1"
site = "garden"
credentials = ["read"]
)";

Found printer(const char* address, const std::string& text) {
  auto snapshot = std::make_shared<model::DeviceSnapshot>();
  snapshot->system.name = text;
  snapshot->system.location = text;
  snapshot->host.description = text;
  snapshot->general.serial_number = text;
  model::Interpreter interpreter;
  interpreter.level = interpreter.version = interpreter.description = text;
  snapshot->interpreters.push_back(interpreter);
  Found found;
  found.address = boost::asio::ip::make_address(address);
  found.kind = Kind::printer;
  found.description = text;
  found.rows = {{1, text, text, text, true}, {2, text, text, text, true}};
  found.snapshot = std::move(snapshot);
  return found;
}

Report report_on(std::vector<Found> found) {
  const auto configured = config::load_text(kConfigured, "frisket.toml");
  REQUIRE(configured.ok());
  auto report = make_report(std::move(found), &configured.config, configured.config.credentials);
  report.site = "garden";
  return report;
}

config::Config appended(const Report& report) {
  const auto toml = to_toml(report);
  INFO(toml);
  const auto loaded = config::load_text(kConfigured + toml, "frisket.toml");
  for (const auto& finding : loaded.findings) UNSCOPED_INFO(finding.text());
  REQUIRE(loaded.ok());
  return loaded.config;
}

// As devices may send them; the edge has made them one line of UTF-8 (decode_text).
const std::vector<std::string> kHostile = {
    "\"",
    "\\",
    "\\\"",
    "\"]\n[[hook]]\nname = \"x\"",
    "'''",
    "\"\"\"",
    "# no comment",
    "tab\there",
    "\\u0041 \\x41 \\e",
    "K\xC3\xBChlraum",
    "\xF0\x9F\x8C\xBF fern",
    "\xE2\x80\xAE"
    "evil",
    "\xE2\x80\xA8line separator",
    "\x1b[31mred",
    "a = 1",
    std::string(255, '.'),
    std::string(255, '"'),
    std::string(255, '\\'),
    std::string("nul\0inside", 10),
    "\xff\xfe latin",
};

TEST_CASE("whatever devices say, the configuration loads and has it as it was said") {
  for (const auto& sent : kHostile) {
    const auto text = model::decode_text(sent, model::Charset::utf8);
    INFO(text);
    const auto config = appended(report_on({printer("192.0.2.7", text)}));
    REQUIRE(config.devices.size() == 2);
    CHECK(config.hooks.empty());
    CHECK(config.devices[1].location == text);
    CHECK(config.devices[1].address == "192.0.2.7");
    CHECK(config.devices[1].port == 161);
    CHECK(config.devices[1].credentials == std::vector<std::string>{"read"});
  }
}

TEST_CASE("a text that never went through the edge cannot leave its comment") {
  auto found = printer("192.0.2.7", "fern\r\n[[hook]]\rname = \"x\"\n\x1b[2J");
  auto other = found;
  other.kind = Kind::other;
  other.address = boost::asio::ip::make_address("192.0.2.8");
  std::const_pointer_cast<model::DeviceSnapshot>(found.snapshot)->system.location = "";
  const auto report = report_on({found, other});
  const auto toml = to_toml(report);
  CHECK(appended(report).devices.size() == 2);
  CHECK(toml.find("\n[[hook]]") == toml.npos);
  CHECK(toml.find('\x1b') == toml.npos);
  CHECK(toml.find('\r') == toml.npos);
}

TEST_CASE("whatever devices say, the JSON is JSON and has it as it was said") {
  for (const auto& sent : kHostile) {
    const auto text = model::decode_text(sent, model::Charset::utf8);
    INFO(text);
    const auto form = nlohmann::json::parse(to_json(report_on({printer("192.0.2.7", text)})));
    CHECK(form["items"][0]["location"] == text);
    CHECK(form["items"][0]["serial"] == text);
    CHECK(form["items"][0]["languages"][0]["description"] == text);
  }
  auto raw = printer("192.0.2.7", "\xff\xfe\x80");
  CHECK_NOTHROW(nlohmann::json::parse(to_json(report_on({raw}))));
}

TEST_CASE("names are unique, also against the configuration, and in order of address") {
  const auto config = appended(report_on({printer("192.0.2.30", "copier"), printer("192.0.2.4", "copier")}));
  REQUIRE(config.devices.size() == 3);
  CHECK(config.devices[1].name == "copier-2");
  CHECK(config.devices[1].address == "192.0.2.4");
  CHECK(config.devices[2].name == "copier-3");
}

TEST_CASE("a printer with two addresses is suspected to be one machine") {
  const auto report = report_on({printer("192.0.2.4", "copier"), printer("2001:db8::4", "copier")});
  CHECK(report.items[0].same_serial_as.empty());
  CHECK(report.items[1].same_serial_as == "copier-2");
}

TEST_CASE("without a configuration what is printed is one") {
  config::Credential credential;
  credential.name = "discovery-read";
  auto report = make_report({printer("192.0.2.4", "copier")}, nullptr, {credential});
  report.port = 1161;
  report.site = "site";
  report.new_site = true;
  report.new_credential = "discovery-read";
  report.community_file = "/nowhere/\"community\"";
  auto loaded = config::load_text(to_toml(report), "frisket.toml");
  std::erase_if(loaded.findings,
                [](const config::Finding& finding) { return finding.gravity == config::Finding::Gravity::warning; });
  // All there is to find fault with is that the file of this test does not exist.
  REQUIRE(loaded.findings.size() == 1);
  CHECK_THAT(loaded.findings[0].what, Catch::Contains("credential.community_file"));
}

TEST_CASE("the credential of the community file is printed only if it was of use") {
  config::Credential configured, from_file;
  configured.name = "read";
  from_file.name = "discovery-read";
  auto found = printer("192.0.2.4", "copier");
  for (const std::size_t worked : {0, 1}) {
    found.credential = worked;
    auto report = make_report({found}, nullptr, {configured, from_file});
    report.new_credential = "discovery-read";
    const bool printed = to_toml(report).find("[[credential]]") != std::string::npos;
    CHECK(printed == (worked == 1));
  }
}

TEST_CASE("other agents are comments, nothing is made of them") {
  auto other = printer("192.0.2.9", "Potting shed switch");
  other.kind = Kind::other;
  auto refused = other;
  refused.kind = Kind::refused;
  refused.address = boost::asio::ip::make_address("192.0.2.8");
  const auto report = report_on({other, refused});
  CHECK(appended(report).devices.size() == 1);
  CHECK_THAT(to_toml(report), Catch::Contains("#  192.0.2.8 (refused): Potting shed switch\n"
                                              "#  192.0.2.9: Potting shed switch\n"));
  const auto form = nlohmann::json::parse(to_json(report));
  CHECK(form["items"].empty());
  CHECK(form["others"][1]["kind"] == "other");
}

TEST_CASE("duplex follows from the media paths and color from the process colorants") {
  auto snapshot = std::make_shared<model::DeviceSnapshot>();
  Found found;
  found.snapshot = snapshot;
  CHECK_FALSE(capabilities_of(found).duplex.has_value());
  CHECK_FALSE(capabilities_of(found).color.has_value());

  model::MediaPath path;
  snapshot->media_paths.push_back(path);
  CHECK_FALSE(capabilities_of(found).duplex.has_value());
  snapshot->media_paths[0].type = model::MediaPathType::simplex;
  CHECK(capabilities_of(found).duplex == false);
  path.type = model::MediaPathType::short_edge_binding_duplex;
  snapshot->media_paths.push_back(path);
  CHECK(capabilities_of(found).duplex == true);
  CHECK(capabilities_of(found).short_edge);
  CHECK_FALSE(capabilities_of(found).long_edge);

  found.process_colorants = 1;
  CHECK(capabilities_of(found).color == false);
  found.process_colorants = 4;
  CHECK(capabilities_of(found).color == true);
  found.process_colorants.reset();
  model::Colorant colorant;
  colorant.role = model::ColorantRole::process;
  snapshot->colorants.assign(3, colorant);
  CHECK(capabilities_of(found).color == true);
  snapshot->colorants[2].role = model::ColorantRole::spot;
  CHECK(capabilities_of(found).color == false);
}

}  // namespace
}  // namespace frisket::discovery
