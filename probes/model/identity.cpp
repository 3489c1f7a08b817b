#include "probes/model/identity.h"

#include <algorithm>
#include <initializer_list>

#include "probes/model/ascii.h"
#include "probes/model/designation.h"

namespace frisket::model {
namespace {

constexpr std::size_t kMostCommandSets = 32;
constexpr std::size_t kMostVersions = 4;
constexpr std::string_view kBlank = " \t";

std::string_view trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(kBlank);
  if (first == text.npos) return {};
  return text.substr(first, text.find_last_not_of(kBlank) - first + 1);
}

bool is_key(std::string_view text, std::initializer_list<std::string_view> keys) {
  return std::ranges::any_of(keys, [&](auto key) { return std::ranges::equal(text, key, {}, lower_case, lower_case); });
}

void put(std::string& field, std::string_view value) {
  if (field.empty()) field = value;
}

// The next part of `rest` up to the separator, which is taken off with it.
std::string_view take_part(std::string_view& rest, char separator) {
  const auto end = rest.find(separator);
  const auto part = rest.substr(0, end);
  rest.remove_prefix(end == rest.npos ? rest.size() : end + 1);
  return trimmed(part);
}

void put_command_set(std::vector<std::string>& commands, std::string_view value) {
  if (!commands.empty()) return;
  while (!value.empty() && commands.size() < kMostCommandSets) {
    const auto command = take_part(value, ',');
    if (!command.empty()) commands.emplace_back(command);
  }
}

// "... firmware 4.18, ..." gives 4.18; also "firmware version: 4.18".
std::string firmware_in(std::string_view description) {
  constexpr std::string_view kWord = "firmware";
  const auto found = std::ranges::search(description, kWord, {}, lower_case);
  if (found.empty()) return {};
  auto rest = description.substr(static_cast<std::size_t>(found.end() - description.begin()));
  while (!rest.empty()) {
    const auto start = rest.find_first_not_of(" :=,;");
    if (start == rest.npos) break;
    rest.remove_prefix(start);
    const auto word = rest.substr(0, rest.find_first_of(" ,;"));
    if (word.find_first_of("0123456789") != word.npos) return std::string(word);
    if (!is_key(word, {"version", "version:", "ver", "ver.", "rev", "rev."})) break;
    rest.remove_prefix(word.size());
  }
  return {};
}

// Interpreters usually all have the firmware's version; where they differ, all count.
std::string versions_of(const std::vector<Interpreter>& interpreters) {
  std::vector<std::string_view> versions;
  for (const auto& interpreter : interpreters) {
    if (interpreter.version.empty() || versions.size() == kMostVersions) continue;
    if (std::ranges::find(versions, interpreter.version) == versions.end()) versions.push_back(interpreter.version);
  }
  std::string text;
  for (const auto version : versions) {
    if (!text.empty()) text += ", ";
    text += version;
  }
  return text;
}

bool differ(const std::string& before, const std::string& now) {
  return !before.empty() && !now.empty() && before != now;
}

}  // namespace

DeviceId parse_device_id(std::string_view text) {
  DeviceId id;
  while (!text.empty()) {
    auto value = take_part(text, ';');
    if (value.find(':') == value.npos) continue;
    const auto key = take_part(value, ':');
    value = trimmed(value);
    if (is_key(key, {"MFG", "MANUFACTURER"})) put(id.manufacturer, value);
    if (is_key(key, {"MDL", "MODEL"})) put(id.model, value);
    if (is_key(key, {"CMD", "COMMAND SET"})) put_command_set(id.command_set, value);
    if (is_key(key, {"SN", "SERN", "SERIALNUMBER"})) put(id.serial, value);
  }
  return id;
}

std::string_view device_id_of(const DeviceSnapshot& device) {
  const auto& ids = device.device_ids;
  const auto mapped = std::ranges::find_if(
      ids, [&](const DeviceIdRow& row) { return row.host_index != 0 && row.host_index == device.host.index; });
  if (mapped != ids.end()) return mapped->text;
  return ids.empty() ? std::string_view{} : std::string_view(ids.front().text);
}

Identity identity_of(const DeviceSnapshot& device) {
  const auto id = parse_device_id(device_id_of(device));
  auto guessed = designation_of(device.host.description);
  Identity identity;
  identity.maker = id.manufacturer.empty() ? std::move(guessed.maker) : id.manufacturer;
  identity.model = id.model.empty() ? std::move(guessed.model) : id.model;
  identity.serial = device.general.serial_number.empty() ? id.serial : device.general.serial_number;
  identity.firmware = versions_of(device.interpreters);
  if (identity.firmware.empty()) identity.firmware = firmware_in(device.system.description);
  return identity;
}

bool same_sources(const DeviceSnapshot& before, const DeviceSnapshot& now) {
  return &before == &now || (before.general.serial_number == now.general.serial_number &&
                             before.host.description == now.host.description && before.host.index == now.host.index &&
                             before.system.description == now.system.description &&
                             before.interpreters == now.interpreters && before.device_ids == now.device_ids);
}

IdentityChange change_of(const Identity& before, const Identity& now) {
  return {differ(before.serial, now.serial), differ(before.firmware, now.firmware)};
}

}  // namespace frisket::model
