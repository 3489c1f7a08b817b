// Single values of an answer, read with a note of what is wrong with them. Inside probes/snmp only.
//
// A value that is missing or of the wrong type is no error of the reading: it is left out, and the reading says so in
// its gaps. What is read is bounded. One thread.
#pragma once

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "probes/model/text.h"
#include "probes/snmp/decode.h"
#include "probes/snmp/values.h"

namespace frisket::snmp {

inline constexpr std::size_t kMostGaps = 32;
inline constexpr std::string_view kMoreGaps = "and more";
// No text of the Printer MIB, HOST-RESOURCES-MIB or SNMPv2-MIB may be longer.
inline constexpr std::size_t kLongestText = 255;

// What is noted of one reading while it is decoded, and what decodes its texts.
class Gaps {
 public:
  explicit Gaps(std::vector<std::string>& texts) : texts_(texts) {}

  model::TextDecoder text_decoder;

  // Whether nothing more is kept: then there is no need to put it into words.
  bool full() const { return texts_.size() > kMostGaps; }

  void add(std::string text) {
    if (texts_.size() < kMostGaps) {
      texts_.push_back(std::move(text));
    } else if (texts_.size() == kMostGaps) {
      texts_.emplace_back(kMoreGaps);
    }
  }

 private:
  std::vector<std::string>& texts_;
};

// An OCTET STRING that the standard does not type as localized is plain ASCII on most agents even
// where the localized ones are in a two-byte charset, and localized on the others.
inline bool is_plain_ascii(std::string_view octets) {
  return std::ranges::all_of(octets, [](char c) { return c >= 0x20 && c <= 0x7e; });
}

// Reads one value; `gap` is told what is wrong with it.
template <class T, class Gap>
std::optional<T> number_or_gap(const Value& value, Gap gap) {
  if (!present(value)) return std::nullopt;
  const auto result = number_as<T>(value);
  if (!result) gap("not a number of its type");
  return result;
}

// Whether the standard types the object as localized.
enum class Localized { no, yes };

template <class Gap>
std::string text_or_gap(const Value& value, model::Charset charset, Localized localized, model::TextDecoder& decoder,
                        Gap gap) {
  if (!present(value)) return {};
  const auto* octets = std::get_if<Octets>(&value);
  if (octets == nullptr) {
    gap("not text");
    return {};
  }
  if (octets->value.size() > kLongestText) gap("longer than texts may be, and was cut");
  const bool plain = localized == Localized::no && is_plain_ascii(octets->value);
  return decoder.decode(octets->value, plain ? model::Charset::ascii : charset);
}

// One row of a table, its cells by column.
class RowReader {
 public:
  RowReader(const mib::Table& table, const Row& row, Gaps& gaps) : table_(table), row_(row), gaps_(gaps) {}

  std::int32_t index() const { return row_.index; }
  bool is_number(std::size_t column) const { return number_as<std::int32_t>(row_.cells[column]).has_value(); }

  template <class T>
  std::optional<T> number(std::size_t column) {
    return number_or_gap<T>(row_.cells[column], [&](std::string_view what) { gap(column, what); });
  }

  std::int32_t integer(std::size_t column, std::int32_t otherwise) {
    return number<std::int32_t>(column).value_or(otherwise);
  }

  // Not negative, or nothing: -1 and -2 mean that there is no number.
  std::optional<std::int32_t> amount(std::size_t column) {
    const auto value = number<std::int32_t>(column);
    return value && *value >= 0 ? value : std::nullopt;
  }

  template <class E>
  E enumeration(std::size_t column, E otherwise) {
    return static_cast<E>(integer(column, static_cast<std::int32_t>(otherwise)));
  }

  model::Level level(std::size_t column) { return model::decode_level(integer(column, -2)); }
  model::Capacity capacity(std::size_t column) { return model::decode_capacity(integer(column, -2)); }

  model::SubunitStatus status(std::size_t column) {
    const auto value = number<std::int32_t>(column);
    return value ? model::SubunitStatus::decode(*value) : model::SubunitStatus{};
  }

  std::string text(std::size_t column, model::Charset charset) {
    return text_or_gap(row_.cells[column], charset, Localized::no, gaps_.text_decoder,
                       [&](std::string_view what) { gap(column, what); });
  }

  // Without the two octets of length that IEEE 1284 puts before it and PWG 5107.1 leaves out (some
  // agents do not: common practice, no source).
  std::string device_id(std::size_t column) {
    const auto* octets = std::get_if<Octets>(&row_.cells[column]);
    if (octets == nullptr) return text(column, model::Charset::ascii);
    std::string_view id = octets->value;
    const auto octet = [&](std::size_t at) { return static_cast<std::size_t>(static_cast<unsigned char>(id[at])); };
    if (id.size() >= 2 && (octet(0) << 8U | octet(1)) == id.size()) id.remove_prefix(2);
    return model::decode_text(id, model::Charset::ascii, model::kMaxDeviceId);
  }

  // For PrtLocalizedDescriptionStringTC and PrtConsoleDescriptionStringTC.
  std::string localized(std::size_t column, model::Charset charset) {
    return text_or_gap(row_.cells[column], charset, Localized::yes, gaps_.text_decoder,
                       [&](std::string_view what) { gap(column, what); });
  }

 private:
  void gap(std::size_t column, std::string_view what) {
    if (gaps_.full()) return;
    gaps_.add(std::string(table_.name) + ": " + std::string(table_.columns[column].name) + " of row " +
              std::to_string(row_.index) + " is " + std::string(what));
  }

  const mib::Table& table_;
  const Row& row_;
  Gaps& gaps_;
};

}  // namespace frisket::snmp
