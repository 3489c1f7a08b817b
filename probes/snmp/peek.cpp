#include "probes/snmp/peek.h"

#include <cstddef>

#include "probes/snmp/ber_reader.h"

namespace frisket::snmp {
std::optional<Peek> peek(std::span<const unsigned char> datagram) {
  BerReader reader(datagram);
  Peek result;
  std::uint8_t tag = 0;
  std::size_t length = 0;
  std::span<const unsigned char> community;
  if (!reader.header(tag, length) || tag != BerReader::kSequence) return std::nullopt;
  if (!reader.integer(result.version) || result.version < 0 || result.version > 1) return std::nullopt;
  if (!reader.header(tag, length) || tag != BerReader::kOctetString || !reader.take(length, community))
    return std::nullopt;
  if (!reader.header(result.pdu_tag, length) || !reader.integer(result.request_id)) return std::nullopt;
  result.community = {reinterpret_cast<const char*>(community.data()), community.size()};
  return result;
}

}  // namespace frisket::snmp
