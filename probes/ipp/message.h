// An IPP message as values: what the codec reads and writes (RFC 8010 section 3).
//
// Everything is bounded (Bounds in codec.h). Strings are the peer's octets: whoever takes one out
// of this layer passes it through model::decode_text(), which text() does. Pure; any thread.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "probes/model/text.h"

namespace frisket::ipp {

// RFC 8010 tables 2 to 6. Other numbers survive as they are.
enum class GroupTag : std::uint8_t {
  operation = 0x01,
  job = 0x02,
  printer = 0x04,
  unsupported = 0x05,
  subscription = 0x06,
  event_notification = 0x07,
  document = 0x09,
};

enum class ValueTag : std::uint8_t {
  unsupported = 0x10,
  unknown = 0x12,
  no_value = 0x13,
  not_settable = 0x15,
  delete_attribute = 0x16,
  admin_define = 0x17,
  integer = 0x21,
  boolean = 0x22,
  enumeration = 0x23,
  octet_string = 0x30,
  date_time = 0x31,
  resolution = 0x32,
  range = 0x33,
  collection = 0x34,
  text_with_language = 0x35,
  name_with_language = 0x36,
  text = 0x41,
  name = 0x42,
  keyword = 0x44,
  uri = 0x45,
  uri_scheme = 0x46,
  charset = 0x47,
  natural_language = 0x48,
  mime_media_type = 0x49,
};

struct Attribute;

// The out-of-band values: the tag says which (RFC 8010 section 3.8).
struct OutOfBand {
  friend bool operator==(OutOfBand, OutOfBand) = default;
};
struct DateTime {
  std::array<std::uint8_t, 11> octets{};  // DateAndTime of RFC 2579
  friend bool operator==(const DateTime&, const DateTime&) = default;
};
struct Resolution {
  std::int32_t cross_feed = 0;
  std::int32_t feed = 0;
  std::int8_t units = 3;  // 3: per inch, 4: per centimetre
  friend bool operator==(const Resolution&, const Resolution&) = default;
};
struct Range {
  std::int32_t lower = 0;
  std::int32_t upper = 0;
  friend bool operator==(const Range&, const Range&) = default;
};
struct Text {
  std::string octets;
  std::string language;  // only of the with-language forms
  friend bool operator==(const Text&, const Text&) = default;
};
struct Collection {
  std::vector<Attribute> members;
  const Attribute* find(std::string_view name) const;
  bool operator==(const Collection&) const;
};

using Value = std::variant<OutOfBand, std::int32_t, bool, DateTime, Resolution, Range, Text, Collection>;

// A name, the tag of its values, and one or more values.
struct Attribute {
  std::string name;
  ValueTag tag = ValueTag::no_value;
  std::vector<Value> values;
  bool operator==(const Attribute&) const;

  // The first value as what it is; nothing if it is something else, or out of band. An integer that
  // was sent as an enumeration is an integer too, and the other way round.
  std::optional<std::int32_t> integer() const;
  std::optional<bool> boolean() const;
  std::string text(std::size_t limit = model::kMaxText) const;  // UTF-8; empty if there is none

  std::vector<std::int32_t> integers() const;
  std::vector<std::string> texts(std::size_t limit = model::kMaxText) const;  // in order, as text()
  std::vector<std::string_view> octets() const;                               // in order, as sent
};

struct Group {
  GroupTag tag = GroupTag::operation;
  std::vector<Attribute> attributes;
  friend bool operator==(const Group&, const Group&) = default;

  const Attribute* find(std::string_view name) const;
  std::optional<std::int32_t> integer(std::string_view name) const;
  std::optional<bool> boolean(std::string_view name) const;
  std::string text(std::string_view name, std::size_t limit = model::kMaxText) const;
  std::vector<std::string> texts(std::string_view name, std::size_t limit = model::kMaxText) const;
};

struct Message {
  std::uint8_t major = 1;
  std::uint8_t minor = 1;
  std::int16_t code = 0;  // operation-id of a request, status-code of an answer
  std::int32_t request_id = 1;
  std::vector<Group> groups;
  friend bool operator==(const Message&, const Message&) = default;

  const Group* first(GroupTag tag) const;
  std::vector<const Group*> all(GroupTag tag) const;
};

}  // namespace frisket::ipp
