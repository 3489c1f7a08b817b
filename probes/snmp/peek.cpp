#include "probes/snmp/peek.h"

#include <cstddef>

#include "probes/snmp/ber_reader.h"

namespace frisket::snmp {
namespace {

constexpr std::int32_t kUserBasedModel = 3;  // RFC 3411 section 5, SnmpSecurityModel
// RFC 3412 section 6.4.
constexpr unsigned kAuthFlag = 0x01;
constexpr unsigned kPrivFlag = 0x02;
constexpr unsigned kReportableFlag = 0x04;

// The header only: the content stays ahead.
bool enter(BerReader& reader, std::uint8_t expected) {
  std::uint8_t tag = 0;
  std::size_t length = 0;
  return reader.header(tag, length) && tag == expected;
}

bool take_octets(BerReader& reader, std::string_view& text) {
  std::uint8_t tag = 0;
  std::size_t length = 0;
  std::span<const unsigned char> content;
  if (!reader.header(tag, length) || tag != BerReader::kOctetString || !reader.take(length, content)) return false;
  text = {reinterpret_cast<const char*>(content.data()), content.size()};
  return true;
}

// From behind the version on.
bool peek_v3(BerReader& reader, Peek& result) {
  std::int32_t most = 0;
  std::int32_t model = 0;
  std::int32_t boots = 0;
  std::int32_t time = 0;
  std::string_view flags;
  if (!enter(reader, BerReader::kSequence) || !reader.integer(result.request_id) || !reader.integer(most)) return false;
  if (!take_octets(reader, flags) || flags.size() != 1) return false;
  if (!reader.integer(model) || model != kUserBasedModel) return false;
  if (!enter(reader, BerReader::kOctetString) || !enter(reader, BerReader::kSequence)) return false;
  if (!take_octets(reader, result.usm.engine_id)) return false;
  if (!reader.integer(boots) || boots < 0 || !reader.integer(time) || time < 0) return false;
  if (!take_octets(reader, result.usm.user)) return false;
  const auto bits = static_cast<unsigned char>(flags[0]);
  result.usm.authenticated = (bits & kAuthFlag) != 0;
  result.usm.encrypted = (bits & kPrivFlag) != 0;
  result.usm.reportable = (bits & kReportableFlag) != 0;
  result.usm.boots = static_cast<std::uint32_t>(boots);
  result.usm.time = static_cast<std::uint32_t>(time);
  return true;
}

}  // namespace

std::optional<Peek> peek(std::span<const unsigned char> datagram) {
  BerReader reader(datagram);
  Peek result;
  std::size_t length = 0;
  if (!enter(reader, BerReader::kSequence) || !reader.integer(result.version)) return std::nullopt;
  if (result.version == 3) {
    if (!peek_v3(reader, result)) return std::nullopt;
    return result;
  }
  if (result.version < 0 || result.version > 1 || !take_octets(reader, result.community)) return std::nullopt;
  if (!reader.header(result.pdu_tag, length) || !reader.integer(result.request_id)) return std::nullopt;
  return result;
}

}  // namespace frisket::snmp
