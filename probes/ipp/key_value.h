// The octetStrings that carry one row of the Printer MIB each: "type=toner;level=42;".
//
// printer-alert (PWG 5100.9), printer-supply, printer-input-tray and printer-output-tray (PWG 5100.13)
// share the form: key=value pairs that end with a semicolon, enumerations by their textual names. The
// syntax is from memory; the reading is tolerant: any order, unknown keys, no last semicolon, a
// number in place of a name. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "probes/model/enum_names.h"

namespace frisket::ipp {

class KeyValues {
 public:
  // At most 64 pairs are kept. Keys are compared without regard to case.
  explicit KeyValues(std::string_view octets);

  bool empty() const { return pairs_.empty(); }
  std::optional<std::string_view> find(std::string_view key) const;
  std::optional<std::int32_t> number(std::string_view key) const;
  std::string text(std::string_view key) const;  // UTF-8; empty if there is none

  // An enumeration by name or number. Names are compared without case and hyphens, so that
  // "supplyThatIsConsumed" is "supply-that-is-consumed".
  template <class E>
  std::optional<E> label(std::string_view key) const {
    const auto value = label_in(key, model::listed<E>());
    return value ? std::optional(static_cast<E>(*value)) : std::nullopt;
  }

 private:
  std::optional<std::int32_t> label_in(std::string_view key, std::span<const model::EnumName> rows) const;

  std::vector<std::pair<std::string, std::string>> pairs_;
};

}  // namespace frisket::ipp
