#include "tests/simfleet/message.h"

#include <limits>

#include "tests/simfleet/ber.h"

namespace frisket::simfleet {
namespace {

bool read_int32(ber::Reader& reader, std::int32_t& into) {
  const auto element = reader.next(ber::integer);
  if (!element) return false;
  const auto value = ber::decode_integer(element->body);
  if (!value || *value > std::numeric_limits<std::int32_t>::max() ||
      *value < std::numeric_limits<std::int32_t>::min()) {
    return false;
  }
  into = static_cast<std::int32_t>(*value);
  return true;
}

}  // namespace

Parsed parse(std::string_view datagram, Request& into) {
  ber::Reader outer(datagram);
  const auto message = outer.next(ber::sequence);
  if (!message) return Parsed::malformed;
  ber::Reader fields(message->body);
  std::int32_t version = 0;
  if (!read_int32(fields, version)) return Parsed::malformed;
  if (version != 0 && version != 1) return Parsed::other_version;
  into.version = static_cast<Version>(version);
  const auto community = fields.next(ber::octet_string);
  if (!community) return Parsed::malformed;
  into.community = community->body;
  const auto pdu = fields.next();
  if (!pdu || pdu->tag < ber::get_request || pdu->tag > ber::report) return Parsed::malformed;
  into.pdu = pdu->tag;
  ber::Reader body(pdu->body);
  const auto request_id = body.next(ber::integer);
  if (!request_id || request_id->body.empty() || request_id->body.size() > 5) return Parsed::malformed;
  into.request_id = request_id->whole;
  if (!read_int32(body, into.non_repeaters) || !read_int32(body, into.max_repetitions)) return Parsed::malformed;
  const auto variables = body.next(ber::sequence);
  if (!variables) return Parsed::malformed;
  into.variables = variables->body;
  return Parsed::ok;
}

std::size_t response_overhead(const Request& request) {
  // Message, PDU and list headers of at most 4 octets each, version, community, id, status (1) and index (up to 2).
  return 4 + 3 + request.community.size() + 4 + 4 + request.request_id.size() + 3 + 4 + 4;
}

void build_response(const Request& request, ErrorStatus status, std::size_t error_index, std::string_view variables,
                    std::string& out) {
  std::string errors;  // short: stays in the string's own buffer
  ber::append_integer(errors, static_cast<std::int64_t>(status));
  ber::append_integer(errors, static_cast<std::int64_t>(error_index));
  const std::size_t pdu_body =
      request.request_id.size() + errors.size() + ber::header_size(variables.size()) + variables.size();
  const std::size_t body =
      3 + ber::header_size(request.community.size()) + request.community.size() + ber::header_size(pdu_body) + pdu_body;
  out.clear();
  ber::append_header(out, ber::sequence, body);
  ber::append_integer(out, static_cast<std::int64_t>(request.version));
  ber::append_octets(out, request.community);
  ber::append_header(out, ber::response, pdu_body);
  out += request.request_id;
  out += errors;
  ber::append_header(out, ber::sequence, variables.size());
  out += variables;
}

}  // namespace frisket::simfleet
