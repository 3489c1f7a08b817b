#include "probes/discovery/naming.h"

#include <algorithm>
#include <utility>

#include "config/syntax.h"
#include "probes/model/ascii.h"

namespace frisket::discovery {
namespace {

constexpr std::size_t kLongestName = 64;  // config/syntax.h

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_lower(char c) { return c >= 'a' && c <= 'z'; }

// "copier.garden.example" is copier; "192.0.2.10" is no name at all.
std::string host_part(const std::string& name) {
  const auto address = config::parse_address(name);
  if (!address) return name;
  if (address->kind != config::Address::Kind::host_name) return {};
  return name.substr(0, name.find('.'));
}

}  // namespace

std::string name_from(std::string_view text) {
  std::string name;
  for (const char c : text) {
    if (name.size() == kLongestName) break;
    const char kept = model::lower_case(c);
    if (is_lower(kept) || is_digit(kept) || kept == '.' || kept == '_') {
      name.push_back(kept);
    } else if (!name.empty() && name.back() != '-') {
      name.push_back('-');
    }
  }
  const auto edge = [](char c) { return c == '-' || c == '.'; };
  while (!name.empty() && edge(name.back())) name.pop_back();
  name.erase(name.begin(), std::ranges::find_if_not(name, edge));
  return name;
}

std::string name_for(const Found& printer) {
  if (printer.snapshot) {
    if (auto name = name_from(host_part(printer.snapshot->system.name)); !name.empty()) return name;
    if (auto name = name_from(printer.snapshot->general.printer_name); !name.empty()) return name;
  }
  const auto identity = identity_of(printer);
  if (!identity.model.empty() || !identity.serial.empty()) {
    if (auto name = name_from(identity.model + " " + identity.serial); !name.empty()) return name;
  }
  auto address = printer.address.to_string();
  std::ranges::replace(address, ':', '-');
  return name_from("printer-" + address);
}

std::string UniqueNames::unique(std::string name) {
  auto candidate = name;
  for (int number = 2; taken_.contains(candidate); ++number) {
    const auto end = "-" + std::to_string(number);
    candidate = name.substr(0, kLongestName - end.size()) + end;
  }
  taken_.insert(candidate);
  return candidate;
}

}  // namespace frisket::discovery
