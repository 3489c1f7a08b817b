#include "config/loader.h"

#include <toml++/toml.h>

#include <algorithm>
#include <cerrno>
#include <exception>
#include <fstream>
#include <system_error>

#include "config/findings.h"
#include "config/sections.h"
#include "probes/model/text.h"

namespace frisket::config {
namespace {

// Room for some 80,000 devices; a larger file is a mistake.
constexpr std::uintmax_t kLargestFile = 16 * 1024 * 1024;
constexpr std::size_t kLongestMessage = 400;

// toml++ bounds nested values, but not the parts of a dotted key, and walks the tables that those
// make by recursion: some 30,000 parts end the program. With the 256 nested values it allows, this
// bound stays far below. No key of ours has more than three parts.
constexpr std::ptrdiff_t kMostDots = 100;

Loaded only(Findings& findings) { return {Config{}, findings.take()}; }

void check_top(const toml::table& root, Findings& findings) {
  std::vector<std::string_view> names;
  for (const auto& section : top_sections()) names.push_back(section.name);
  for (const auto& [key, node] : root)
    if (std::ranges::find(names, key.str()) == names.end())
      findings.error(place_of(key.source()), "unknown section " + in_quotes(key.str()) + suggestion(key.str(), names) +
                                                 ", allowed: " + any_of(names));
}

Config read_all(const toml::table& root, const std::filesystem::path& file, Findings& findings) {
  Reading reading{root, file.parent_path(), findings};
  check_top(root, findings);
  Config config;
  config.daemon = read_daemon(reading, config.tokens, config.certificate);
  config.polling = read_polling(reading);
  config.store = read_store(reading);
  config.rules = read_rules(reading);
  config.sites = read_sites(reading);
  config.credentials = read_credentials(reading);
  config.notifications = read_notifications(reading);
  config.devices = read_devices(reading);
  config.spoolers = read_spoolers(reading);
  config.queues = read_queues(reading, config.spoolers, config.devices);
  config.maintenance = read_maintenance(reading);
  config.hooks = read_hooks(reading);
  config.suppliers = read_suppliers(reading);
  config.parts = read_parts(reading);
  config.tasks = read_tasks(reading);
  return config;
}

// The line, counted from 1, that may hold a key of too many parts; 0 if there is none.
int line_of_deep_key(std::string_view toml) {
  int number = 0;
  while (!toml.empty()) {
    ++number;
    const auto line = toml.substr(0, toml.find('\n'));
    toml.remove_prefix(std::min(line.size() + 1, toml.size()));
    const auto first = line.find_first_not_of(" \t");
    const bool comment = first != std::string_view::npos && line[first] == '#';
    if (!comment && std::ranges::count(line, '.') > kMostDots) return number;
  }
  return 0;
}

std::string syntax_message(const toml::parse_error& error) {
  return "TOML syntax: " + model::decode_text(error.description(), model::Charset::utf8, kLongestMessage);
}

std::string size_message(std::uintmax_t size) {
  return "found " + std::to_string(size) + " bytes, allowed: at most " + std::to_string(kLargestFile);
}

}  // namespace

std::string Finding::text() const {
  std::string where = file;
  if (line > 0) where += ":" + std::to_string(line) + ":" + std::to_string(column);
  return where + (gravity == Gravity::error ? ": error: " : ": warning: ") + what;
}

bool Loaded::ok() const {
  return std::ranges::none_of(findings, [](const auto& found) { return found.gravity == Finding::Gravity::error; });
}

Loaded load(const std::filesystem::path& file) {
  Findings findings(file);
  std::error_code failure;
  const auto status = std::filesystem::status(file, failure);
  if (failure || !std::filesystem::is_regular_file(status)) {
    findings.error({}, "cannot be read: " + (failure ? failure.message() : std::string("not a regular file")));
    return only(findings);
  }
  const auto size = std::filesystem::file_size(file, failure);
  if (!failure && size > kLargestFile) {
    findings.error({}, size_message(size));
    return only(findings);
  }
  std::ifstream stream(file, std::ios::binary);
  if (!stream) {
    findings.error({}, "cannot be read: " + std::generic_category().message(errno));
    return only(findings);
  }
  // One byte more than allowed, in case the file grows meanwhile.
  std::string content(static_cast<std::size_t>(std::min(size, kLargestFile)) + 1, '\0');
  stream.read(content.data(), static_cast<std::streamsize>(content.size()));
  content.resize(static_cast<std::size_t>(stream.gcount()));
  return load_text(content, file);
}

Loaded load_text(std::string_view toml, const std::filesystem::path& file) {
  Findings findings(file);
  if (toml.size() > kLargestFile) {
    findings.error({}, size_message(toml.size()));
    return only(findings);
  }
  if (const int line = line_of_deep_key(toml); line > 0) {
    findings.error({line, 1}, "found more than " + std::to_string(kMostDots) + " dots in one line, allowed: fewer");
    return only(findings);
  }
  try {
    const toml::table root = toml::parse(toml);
    Config config = read_all(root, file, findings);
    return {std::move(config), findings.take()};
  } catch (const toml::parse_error& error) {
    findings.error(place_of(error.source()), syntax_message(error));
  } catch (const std::exception& error) {  // out of memory, or a bug here: say so rather than end the daemon
    findings.error({}, std::string("cannot be loaded: ") + error.what());
  }
  return only(findings);
}

}  // namespace frisket::config
