#include "probes/ipp/codec.h"

#include <cups/ipp.h>

#include <algorithm>
#include <cstring>
#include <memory>
#include <type_traits>
#include <utility>

namespace frisket::ipp {
namespace {

struct Deleter {
  void operator()(ipp_t* message) const { ::ippDelete(message); }
};
using Handle = std::unique_ptr<ipp_t, Deleter>;

model::Error nonsense(std::string what) {
  return {model::Error::Kind::nonsense, "reading an IPP message", "", std::move(what)};
}

model::Error invalid(std::string what) {
  return {model::Error::Kind::invalid, "writing an IPP message", "", std::move(what)};
}

// Hands the library the octets, without what the outline leaves out.
struct Source {
  std::string_view octets;
  const std::vector<std::pair<std::size_t, std::size_t>>& left_out;
  std::size_t at = 0;
  std::size_t next = 0;

  static ssize_t read(void* context, ipp_uchar_t* buffer, std::size_t count) {
    auto& self = *static_cast<Source*>(context);
    while (self.next < self.left_out.size() && self.at == self.left_out[self.next].first)
      self.at = self.left_out[self.next++].second;
    if (self.octets.size() - self.at < count) return -1;
    std::memcpy(buffer, self.octets.data() + self.at, count);
    self.at += count;
    return static_cast<ssize_t>(count);
  }
};

ssize_t append(void* context, ipp_uchar_t* buffer, std::size_t count) {
  static_cast<std::string*>(context)->append(reinterpret_cast<const char*>(buffer), count);
  return static_cast<ssize_t>(count);
}

Value integer_value(ipp_attribute_t* from, int i) { return static_cast<std::int32_t>(::ippGetInteger(from, i)); }

Value boolean_value(ipp_attribute_t* from, int i) { return ::ippGetBoolean(from, i) != 0; }

Value date_value(ipp_attribute_t* from, int i) {
  DateTime value;
  if (const auto* octets = ::ippGetDate(from, i)) std::copy_n(octets, value.octets.size(), value.octets.begin());
  return value;
}

Value resolution_value(ipp_attribute_t* from, int i) {
  Resolution value;
  int feed = 0;
  ipp_res_t units{};
  value.cross_feed = ::ippGetResolution(from, i, &feed, &units);
  value.feed = feed;
  // The library hands on whatever octet came, which need not be one of the enumerators.
  std::underlying_type_t<ipp_res_t> octet{};
  std::memcpy(&octet, &units, sizeof octet);
  value.units = static_cast<std::int8_t>(octet);
  return value;
}

Value range_value(ipp_attribute_t* from, int i) {
  Range value;
  int upper = 0;
  value.lower = ::ippGetRange(from, i, &upper);
  value.upper = upper;
  return value;
}

Value octets_value(ipp_attribute_t* from, int i) {
  int length = 0;
  const auto* octets = static_cast<const char*>(::ippGetOctetString(from, i, &length));
  if (octets == nullptr || length <= 0) return Text{};
  return Text{std::string(octets, static_cast<std::size_t>(length)), {}};
}

Value string_value(ipp_attribute_t* from, int i) {
  const char* language = nullptr;
  const char* octets = ::ippGetString(from, i, &language);
  return Text{octets != nullptr ? octets : "", language != nullptr ? language : ""};
}

Attribute attribute_from(ipp_attribute_t* from, std::string name);

Value collection_value(ipp_attribute_t* from, int i) {
  Collection value;
  ipp_t* members = ::ippGetCollection(from, i);
  if (members == nullptr) return value;
  for (auto* member = ::ippFirstAttribute(members); member != nullptr; member = ::ippNextAttribute(members))
    if (const char* name = ::ippGetName(member)) value.members.push_back(attribute_from(member, name));
  return value;
}

using Getter = Value (*)(ipp_attribute_t*, int);

Getter getter_of(ValueTag tag) {
  switch (tag) {
    case ValueTag::integer:
    case ValueTag::enumeration:
      return integer_value;
    case ValueTag::boolean:
      return boolean_value;
    case ValueTag::date_time:
      return date_value;
    case ValueTag::resolution:
      return resolution_value;
    case ValueTag::range:
      return range_value;
    case ValueTag::collection:
      return collection_value;
    case ValueTag::octet_string:
      return octets_value;
    case ValueTag::text_with_language:
    case ValueTag::name_with_language:
    case ValueTag::text:
    case ValueTag::name:
    case ValueTag::keyword:
    case ValueTag::uri:
    case ValueTag::uri_scheme:
    case ValueTag::charset:
    case ValueTag::natural_language:
    case ValueTag::mime_media_type:
      return string_value;
    default:
      return nullptr;
  }
}

bool is_out_of_band(ValueTag tag) {
  return static_cast<std::uint8_t>(tag) >= 0x10 && static_cast<std::uint8_t>(tag) < 0x20;
}

Attribute attribute_from(ipp_attribute_t* from, std::string name) {
  Attribute to;
  to.name = std::move(name);
  to.tag = static_cast<ValueTag>(::ippGetValueTag(from));
  if (is_out_of_band(to.tag)) {
    to.values.emplace_back(OutOfBand{});
  } else if (const auto get = getter_of(to.tag)) {
    const int count = ::ippGetCount(from);
    to.values.reserve(static_cast<std::size_t>(std::max(count, 0)));
    for (int i = 0; i < count; ++i) to.values.push_back(get(from, i));
  }
  return to;
}

// One attribute written value by value: the first makes the attribute, the others are added to it.
class Writer {
 public:
  Writer(ipp_t* to, ipp_tag_t group) : to_(to), group_(group) {}

  std::string write(const Attribute& from) {
    if (from.name.empty() || from.name.size() > 255) return "has an attribute with an empty or very long name";
    if (from.values.empty()) return "has no value for " + from.name;
    attribute_ = nullptr;
    index_ = 0;
    for (const auto& value : from.values) {
      if (!put(from, value)) return "has a value of the wrong kind for " + from.name;
      ++index_;
    }
    return {};
  }

 private:
  bool put(const Attribute& from, const Value& value) {
    const char* name = from.name.c_str();
    const auto tag = static_cast<ipp_tag_t>(from.tag);
    if (is_out_of_band(from.tag)) {
      if (!std::holds_alternative<OutOfBand>(value) || index_ > 0) return false;
      return (attribute_ = ::ippAddOutOfBand(to_, group_, tag, name)) != nullptr;
    }
    switch (from.tag) {
      case ValueTag::integer:
      case ValueTag::enumeration:
        if (const auto* number = std::get_if<std::int32_t>(&value)) return put_integer(name, tag, *number);
        return false;
      case ValueTag::boolean:
        if (const auto* flag = std::get_if<bool>(&value)) return put_boolean(name, *flag);
        return false;
      case ValueTag::date_time:
        if (const auto* date = std::get_if<DateTime>(&value)) return put_date(name, *date);
        return false;
      case ValueTag::resolution:
        if (const auto* resolution = std::get_if<Resolution>(&value)) return put_resolution(name, *resolution);
        return false;
      case ValueTag::range:
        if (const auto* range = std::get_if<Range>(&value)) return put_range(name, *range);
        return false;
      case ValueTag::collection:
        if (const auto* collection = std::get_if<Collection>(&value)) return put_collection(name, *collection);
        return false;
      default:
        if (getter_of(from.tag) == nullptr) return false;
        if (const auto* text = std::get_if<Text>(&value)) return put_text(name, tag, *text);
        return false;
    }
  }

  bool put_integer(const char* name, ipp_tag_t tag, std::int32_t value) {
    if (index_ > 0) return ::ippSetInteger(to_, &attribute_, index_, value) != 0;
    return (attribute_ = ::ippAddInteger(to_, group_, tag, name, value)) != nullptr;
  }

  bool put_boolean(const char* name, bool value) {
    if (index_ > 0) return ::ippSetBoolean(to_, &attribute_, index_, value ? 1 : 0) != 0;
    return (attribute_ = ::ippAddBoolean(to_, group_, name, value ? 1 : 0)) != nullptr;
  }

  bool put_date(const char* name, const DateTime& value) {
    if (index_ > 0) return ::ippSetDate(to_, &attribute_, index_, value.octets.data()) != 0;
    return (attribute_ = ::ippAddDate(to_, group_, name, value.octets.data())) != nullptr;
  }

  bool put_resolution(const char* name, const Resolution& value) {
    if (value.units != IPP_RES_PER_INCH && value.units != IPP_RES_PER_CM) return false;
    const auto units = static_cast<ipp_res_t>(value.units);
    if (index_ > 0) return ::ippSetResolution(to_, &attribute_, index_, units, value.cross_feed, value.feed) != 0;
    return (attribute_ = ::ippAddResolution(to_, group_, name, units, value.cross_feed, value.feed)) != nullptr;
  }

  bool put_range(const char* name, const Range& value) {
    if (index_ > 0) return ::ippSetRange(to_, &attribute_, index_, value.lower, value.upper) != 0;
    return (attribute_ = ::ippAddRange(to_, group_, name, value.lower, value.upper)) != nullptr;
  }

  bool put_collection(const char* name, const Collection& value) {
    const Handle members(::ippNew());
    Writer writer(members.get(), IPP_TAG_ZERO);
    for (const auto& member : value.members)
      if (!writer.write(member).empty()) return false;
    if (index_ > 0) return ::ippSetCollection(to_, &attribute_, index_, members.get()) != 0;
    return (attribute_ = ::ippAddCollection(to_, group_, name, members.get())) != nullptr;
  }

  bool put_text(const char* name, ipp_tag_t tag, const Text& value) {
    if (value.octets.size() > 1023 || value.language.size() > 63) return false;
    if (tag == IPP_TAG_STRING) {
      const auto length = static_cast<int>(value.octets.size());
      if (index_ > 0) return ::ippSetOctetString(to_, &attribute_, index_, value.octets.data(), length) != 0;
      return (attribute_ = ::ippAddOctetString(to_, group_, name, value.octets.data(), length)) != nullptr;
    }
    if (value.octets.find('\0') != std::string::npos) return false;
    const bool with_language = tag == IPP_TAG_TEXTLANG || tag == IPP_TAG_NAMELANG;
    if (with_language == value.language.empty()) return false;
    if (index_ > 0) return ::ippSetString(to_, &attribute_, index_, value.octets.c_str()) != 0;
    const char* language = with_language ? value.language.c_str() : nullptr;
    return (attribute_ = ::ippAddString(to_, group_, tag, name, language, value.octets.c_str())) != nullptr;
  }

  ipp_t* to_;
  ipp_tag_t group_;
  ipp_attribute_t* attribute_ = nullptr;
  int index_ = 0;
};

}  // namespace

model::Result<Decoded> decode(std::string_view octets, const Bounds& bounds) {
  auto outline = shape_of(octets, bounds);
  if (!outline) return std::move(outline.error());
  const Shape& shape = *outline;

  Source source{octets.substr(0, shape.octets), shape.left_out};
  const Handle handle(::ippNew());
  if (::ippReadIO(&source, &Source::read, 1, nullptr, handle.get()) != IPP_STATE_DATA)
    return nonsense("a value is not as its type demands");

  Decoded out;
  out.octets = shape.octets;
  Message& message = out.message;
  int minor = 0;
  message.major = static_cast<std::uint8_t>(::ippGetVersion(handle.get(), &minor));
  message.minor = static_cast<std::uint8_t>(minor);
  message.code = static_cast<std::int16_t>(::ippGetStatusCode(handle.get()));
  message.request_id = ::ippGetRequestId(handle.get());
  message.groups.reserve(shape.groups.size());

  auto* attribute = ::ippFirstAttribute(handle.get());
  for (const auto& group : shape.groups) {
    Group to{group.tag, {}};
    to.attributes.reserve(group.attributes);
    while (to.attributes.size() < group.attributes && attribute != nullptr) {
      // A separator between two groups of one kind has no name.
      if (const char* name = ::ippGetName(attribute)) to.attributes.push_back(attribute_from(attribute, name));
      attribute = ::ippNextAttribute(handle.get());
    }
    if (to.attributes.size() != group.attributes) return nonsense("attributes are missing");
    // What is of no known type carries nothing.
    std::erase_if(to.attributes, [](const Attribute& each) { return each.values.empty(); });
    message.groups.push_back(std::move(to));
  }
  return out;
}

model::Result<std::string> encode(const Message& message) {
  if (message.request_id < 1) return invalid("its request-id is not above 0");
  const Handle handle(::ippNew());
  ::ippSetVersion(handle.get(), message.major, message.minor);
  ::ippSetOperation(handle.get(), static_cast<ipp_op_t>(message.code));
  ::ippSetRequestId(handle.get(), message.request_id);
  const Group* before = nullptr;
  for (const auto& group : message.groups) {
    if (group.attributes.empty()) return invalid("it has an empty group");
    if (before != nullptr && before->tag == group.tag) ::ippAddSeparator(handle.get());
    Writer writer(handle.get(), static_cast<ipp_tag_t>(group.tag));
    for (const auto& attribute : group.attributes) {
      auto fault = writer.write(attribute);
      if (!fault.empty()) return invalid("it " + fault);
    }
    before = &group;
  }
  std::string octets;
  if (::ippWriteIO(&octets, append, 1, nullptr, handle.get()) != IPP_STATE_DATA) return invalid("the codec refuses it");
  return octets;
}

}  // namespace frisket::ipp
