#include "probes/ipp/key_value.h"

#include <charconv>

#include "probes/model/ascii.h"
#include "probes/model/text.h"

namespace frisket::ipp {
namespace {

constexpr std::size_t kMaxPairs = 64;
constexpr std::size_t kMaxOctets = 4096;

std::string_view trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(" \t\r\n");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1);
}

// Letters and digits in lower case, nothing else.
std::string plain(std::string_view text) {
  std::string out;
  for (const char octet : text) {
    const char c = model::lower_case(octet);
    if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) out += c;
  }
  return out;
}

std::optional<std::int32_t> parsed(std::string_view text) {
  std::int32_t number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return number;
}

}  // namespace

KeyValues::KeyValues(std::string_view octets) {
  octets = octets.substr(0, kMaxOctets);
  while (!octets.empty() && pairs_.size() < kMaxPairs) {
    const auto end = octets.find(';');
    const auto pair = octets.substr(0, end);
    octets = end == std::string_view::npos ? std::string_view{} : octets.substr(end + 1);
    const auto equals = pair.find('=');
    if (equals == std::string_view::npos) continue;
    auto key = plain(pair.substr(0, equals));
    if (!key.empty()) pairs_.emplace_back(std::move(key), trimmed(pair.substr(equals + 1)));
  }
}

std::optional<std::string_view> KeyValues::find(std::string_view key) const {
  for (const auto& [name, value] : pairs_)
    if (name == key) return value;
  return std::nullopt;
}

std::optional<std::int32_t> KeyValues::number(std::string_view key) const {
  const auto value = find(key);
  return value ? parsed(*value) : std::nullopt;
}

std::string KeyValues::text(std::string_view key) const {
  const auto value = find(key);
  return value ? model::decode_text(*value, model::Charset::utf8) : std::string();
}

std::optional<std::int32_t> KeyValues::label_in(std::string_view key, std::span<const model::EnumName> rows) const {
  const auto value = find(key);
  if (!value) return std::nullopt;
  if (const auto number = parsed(*value)) return number;
  const auto wanted = plain(*value);
  for (const auto& row : rows)
    if (plain(row.label) == wanted) return row.value;
  return std::nullopt;
}

}  // namespace frisket::ipp
