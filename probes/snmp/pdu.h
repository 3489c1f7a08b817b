// What is asked and answered, as values without the wire.
//
// The words are those of RFC 3416 (protocol operations) and RFC 2578 (types). Pure.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "probes/model/time.h"
#include "probes/snmp/oid.h"

namespace frisket::snmp {

struct Null {
  friend bool operator==(Null, Null) = default;
};
// The agent has no such object, no such row, or nothing after it (RFC 3416 section 3).
struct NoSuchObject {
  friend bool operator==(NoSuchObject, NoSuchObject) = default;
};
struct NoSuchInstance {
  friend bool operator==(NoSuchInstance, NoSuchInstance) = default;
};
struct EndOfMibView {
  friend bool operator==(EndOfMibView, EndOfMibView) = default;
};
struct Integer {
  std::int32_t value = 0;
  friend bool operator==(Integer, Integer) = default;
};
struct Counter32 {
  std::uint32_t value = 0;
  friend bool operator==(Counter32, Counter32) = default;
};
struct Gauge32 {
  std::uint32_t value = 0;
  friend bool operator==(Gauge32, Gauge32) = default;
};
struct TimeTicks {
  std::uint32_t value = 0;  // 1/100 s
  friend bool operator==(TimeTicks, TimeTicks) = default;
};
struct Counter64 {
  std::uint64_t value = 0;
  friend bool operator==(Counter64, Counter64) = default;
};
struct Octets {
  std::string value;  // raw bytes: goes through model::decode_text before anybody reads it
  friend bool operator==(const Octets&, const Octets&) = default;
};
struct IpAddress {
  std::array<std::uint8_t, 4> value{};
  friend bool operator==(const IpAddress&, const IpAddress&) = default;
};
// Opaque, BITS, a number that does not fit its type: of no use here, but no error either.
struct Opaque {
  std::uint8_t type = 0;  // the BER tag
  friend bool operator==(Opaque, Opaque) = default;
};

using Value = std::variant<Null, NoSuchObject, NoSuchInstance, EndOfMibView, Integer, Counter32, Gauge32, TimeTicks,
                           Counter64, Octets, Oid, IpAddress, Opaque>;

// Whether there is a value at all: not null, and none of the three exceptions.
inline bool present(const Value& value) { return value.index() > 3; }

struct VarBind {
  Oid name;
  Value value;
  friend bool operator==(const VarBind&, const VarBind&) = default;
};

enum class Operation { get, get_next, get_bulk };

struct Request {
  Operation operation = Operation::get;
  std::int32_t max_repetitions = 0;  // GETBULK only; every name repeats
  std::vector<Oid> names;
};

// RFC 3416 section 3; numbers that it does not list are kept.
enum class ErrorStatus : std::int32_t {
  no_error = 0,
  too_big = 1,
  no_such_name = 2,  // SNMPv1
  bad_value = 3,
  read_only = 4,
  gen_err = 5,
  no_access = 6,
  authorization_error = 16,
};

std::string to_text(ErrorStatus status);  // "genErr", "error status 42"

struct Response {
  ErrorStatus error_status = ErrorStatus::no_error;
  std::int32_t error_index = 0;  // counted from 1; 0: none in particular
  std::vector<VarBind> variables;
  std::size_t octets = 0;  // of the whole message, for choosing how much to ask next time
  // From the request to this, where the request was sent once only.
  std::optional<model::SteadyTime::duration> round_trip;

  // The agent says that this credential may not read.
  bool refused() const {
    return error_status == ErrorStatus::no_access || error_status == ErrorStatus::authorization_error;
  }
};

}  // namespace frisket::snmp
