#include "probes/snmp/answer_tail.h"

#include <algorithm>
#include <array>

#include "probes/snmp/ber_reader.h"
#include "probes/snmp/peek.h"

namespace frisket::snmp {
namespace {

// OBJECT IDENTIFIER 1.3.6.1.2.1.1.3.0, tag and length with it (RFC 3418).
constexpr std::array<unsigned char, 10> kUpTimeName{0x06, 0x08, 0x2b, 0x06, 0x01, 0x02, 0x01, 0x01, 0x03, 0x00};
constexpr std::uint8_t kTimeTicks = 0x43;

// A TimeTicks in the shortest form, as the only content that is left (RFC 2578 section 7.1.8, X.690 section 8.3.2).
std::optional<std::uint32_t> ticks_in(std::span<const unsigned char> octets) {
  if (octets.size() < 3 || octets[0] != kTimeTicks || octets[1] != octets.size() - 2 || octets[1] > 5) {
    return std::nullopt;
  }
  auto value = octets.subspan(2);
  if (value[0] >= 0x80) return std::nullopt;
  if (value.size() > 1 && value[0] == 0 && value[1] < 0x80) return std::nullopt;
  if (value.size() == 5 && value[0] != 0) return std::nullopt;
  std::uint32_t ticks = 0;
  for (const auto octet : value) ticks = ticks << 8U | octet;
  return ticks;
}

}  // namespace

std::optional<AnswerTail> answer_tail(std::span<const unsigned char> datagram, bool up_time_first) {
  BerReader reader(datagram);
  std::uint8_t tag = 0;
  std::size_t length = 0;
  std::span<const unsigned char> content;
  std::int32_t number = 0;
  if (!reader.last(BerReader::kSequence) || !reader.integer(number)) return std::nullopt;
  if (!reader.header(tag, length) || tag != BerReader::kOctetString || !reader.take(length, content)) {
    return std::nullopt;
  }
  if (!reader.last(kResponseTag) || !reader.integer(number)) return std::nullopt;
  for (int i = 0; i < 2; ++i)  // error-status, error-index
    if (!reader.integer(number) || number != 0) return std::nullopt;
  if (!reader.last(BerReader::kSequence)) return std::nullopt;

  AnswerTail tail;
  if (up_time_first) {
    if (!reader.header(tag, length) || tag != BerReader::kSequence || !reader.take(length, content)) {
      return std::nullopt;
    }
    if (content.size() <= kUpTimeName.size() || !std::ranges::equal(content.first(kUpTimeName.size()), kUpTimeName)) {
      return std::nullopt;
    }
    tail.up_time = ticks_in(content.subspan(kUpTimeName.size()));
    if (!tail.up_time) return std::nullopt;
  }
  tail.rest = reader.rest();
  return tail;
}

}  // namespace frisket::snmp
