// BER as SNMP uses it (RFC 3417 section 8, RFC 2578 section 7), written for the simulated fleet only.
//
// The daemon decodes with net-snmp; this codec shares no line with it, so that the two
// witness against each other. Bytes are std::string and std::string_view. Nothing here
// throws on bad input, reads past a view, or allocates while reading. Any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace frisket::simfleet {

using Oid = std::vector<std::uint32_t>;
using OidView = std::span<const std::uint32_t>;

namespace ber {

// Identifier octets: RFC 2578 types, RFC 3416 exceptions and PDUs.
enum Tag : std::uint8_t {
  integer = 0x02,
  octet_string = 0x04,
  null = 0x05,
  object_identifier = 0x06,
  sequence = 0x30,
  ip_address = 0x40,
  counter32 = 0x41,
  gauge32 = 0x42,
  time_ticks = 0x43,
  opaque = 0x44,
  counter64 = 0x46,
  no_such_object = 0x80,
  no_such_instance = 0x81,
  end_of_mib_view = 0x82,
  get_request = 0xA0,
  get_next_request = 0xA1,
  response = 0xA2,
  set_request = 0xA3,
  get_bulk_request = 0xA5,
  inform_request = 0xA6,
  trap_v2 = 0xA7,
  report = 0xA8,
};

// RFC 2578 section 3.5: at most 128 sub-identifiers.
inline constexpr std::size_t kMaxSubIdentifiers = 128;

// One element: views into what was read.
struct Element {
  std::uint8_t tag = 0;
  std::string_view body;
  std::string_view whole;  // identifier, length and body
};

// Takes elements off the front of a view, which must outlive the reader.
class Reader {
 public:
  explicit Reader(std::string_view bytes) : rest_(bytes) {}

  bool empty() const { return rest_.empty(); }
  std::string_view rest() const { return rest_; }

  // The next element. nullopt, and nothing is taken, if the bytes end early, the length
  // is indefinite or longer than four octets, or the identifier is multi-octet.
  std::optional<Element> next();

  // The same, and nullopt as well if the tag is another.
  std::optional<Element> next(std::uint8_t tag);

 private:
  std::string_view rest_;
};

// An INTEGER's body of 1 to 8 octets, two's complement.
std::optional<std::int64_t> decode_integer(std::string_view body);

// An OBJECT IDENTIFIER's body into `into`, which is cleared first. False if it is empty,
// ends inside a sub-identifier, exceeds 32 bits in one, or has more than 128.
bool decode_oid(std::string_view body, Oid& into);

// "1.3.6.1" or ".1.3.6.1"; nullopt for anything else.
std::optional<Oid> parse_oid(std::string_view text);
std::string to_text(OidView oid);

// Appending whole elements, in the shortest form.
void append_header(std::string& out, std::uint8_t tag, std::size_t length);
void append_integer(std::string& out, std::int64_t value, std::uint8_t tag = integer);
void append_unsigned(std::string& out, std::uint64_t value, std::uint8_t tag);
void append_octets(std::string& out, std::string_view octets, std::uint8_t tag = octet_string);
void append_oid(std::string& out, OidView oid);
void append_empty(std::string& out, std::uint8_t tag);  // NULL and the exceptions

// Octets that append_header writes for a body of this length.
std::size_t header_size(std::size_t length);

}  // namespace ber
}  // namespace frisket::simfleet
