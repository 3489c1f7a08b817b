// Tags and definite lengths off the front of a datagram (X.690 section 8.1). Private to the layer: the
// codec reads messages; this only looks at their outline. Pure; any thread.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

namespace frisket::snmp {

class BerReader {
 public:
  explicit BerReader(std::span<const unsigned char> octets) : rest_(octets) {}

  static constexpr std::uint8_t kInteger = 0x02;
  static constexpr std::uint8_t kOctetString = 0x04;
  static constexpr std::uint8_t kSequence = 0x30;

  std::span<const unsigned char> rest() const { return rest_; }

  // Takes a tag and a length; the content stays ahead. A length beyond the datagram's
  // end is the codec's affair, but for a primitive it is checked by take().
  bool header(std::uint8_t& tag, std::size_t& length) {
    if (rest_.size() < 2) return false;
    tag = rest_[0];
    length = rest_[1];
    rest_ = rest_.subspan(2);
    if (length < 0x80) return true;
    const std::size_t count = length & 0x7fU;
    if (count == 0 || count > sizeof(std::uint32_t) || rest_.size() < count) return false;
    length = 0;
    for (std::size_t i = 0; i < count; ++i) length = length << 8U | rest_[i];
    rest_ = rest_.subspan(count);
    return true;
  }

  bool take(std::size_t length, std::span<const unsigned char>& content) {
    if (rest_.size() < length) return false;
    content = rest_.first(length);
    rest_ = rest_.subspan(length);
    return true;
  }

  bool integer(std::int32_t& value) {
    std::uint8_t tag = 0;
    std::size_t length = 0;
    std::span<const unsigned char> content;
    if (!header(tag, length) || tag != kInteger || length == 0 || length > 4 || !take(length, content)) return false;
    std::uint32_t bits = (content[0] & 0x80U) != 0 ? ~std::uint32_t{0} : 0;
    for (const auto octet : content) bits = bits << 8U | octet;
    value = static_cast<std::int32_t>(bits);
    return true;
  }

  // A constructed value of this tag that ends exactly where the datagram does.
  bool last(std::uint8_t expected) {
    std::uint8_t tag = 0;
    std::size_t length = 0;
    return header(tag, length) && tag == expected && length == rest_.size();
  }

 private:
  std::span<const unsigned char> rest_;
};

}  // namespace frisket::snmp
