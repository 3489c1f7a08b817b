#include "probes/snmp/notification.h"

#include <algorithm>
#include <type_traits>
#include <variant>

namespace frisket::snmp {
namespace {

constexpr std::size_t kMostVariables = 8;
constexpr std::size_t kLongestText = 64;
// A name of a cell of the Printer MIB has some 40 characters.
constexpr std::size_t kLongestName = 128;

std::string escaped(std::string_view octets) {
  std::string text;
  for (const char c : octets.substr(0, kLongestText)) {
    const auto octet = static_cast<unsigned char>(c);
    if (octet >= 0x20 && octet < 0x7f && c != '\\' && c != '"') {
      text += c;
      continue;
    }
    text += "\\x";
    text += "0123456789abcdef"[octet >> 4U];
    text += "0123456789abcdef"[octet & 0xfU];
  }
  return octets.size() > kLongestText ? text + "..." : text;
}

std::string shortened(OidView name) {
  auto text = to_text(name);
  if (text.size() > kLongestName) text.replace(kLongestName, std::string::npos, "...");
  return text;
}

std::string value_text(const Value& value) {
  const auto shown = [](const auto& held) -> std::string {
    using Held = std::decay_t<decltype(held)>;
    if constexpr (std::is_same_v<Held, Octets>) {
      return '"' + escaped(held.value) + '"';
    } else if constexpr (std::is_same_v<Held, Oid>) {
      return shortened(held);
    } else if constexpr (std::is_same_v<Held, Integer> || std::is_same_v<Held, Counter32> ||
                         std::is_same_v<Held, Gauge32> || std::is_same_v<Held, TimeTicks> ||
                         std::is_same_v<Held, Counter64>) {
      return std::to_string(held.value);
    } else {
      return "-";
    }
  };
  return std::visit(shown, value);
}

}  // namespace

std::string_view to_text(Notification::Form form) {
  switch (form) {
    case Notification::Form::trap_v1:
      return "v1 trap";
    case Notification::Form::trap_v2:
      return "trap";
    case Notification::Form::inform:
      return "inform";
  }
  return "notification";
}

std::string describe(const Notification& notification) {
  std::string text(to_text(notification.form));
  text += ' ' + shortened(notification.name);
  const auto shown = std::min(notification.variables.size(), kMostVariables);
  for (std::size_t i = 0; i < shown; ++i) {
    const auto& variable = notification.variables[i];
    text += (i == 0 ? ": " : ", ") + shortened(variable.name) + '=' + value_text(variable.value);
  }
  if (shown < notification.variables.size()) text += ", ...";
  return text;
}

}  // namespace frisket::snmp
