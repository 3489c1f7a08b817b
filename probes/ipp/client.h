// One IPP service, asked in its own protocol: requests out, answers in.
//
// Fills in what every request has (version, request-id, charset, language, the target's URI), checks
// what every answer must have, and changes to the version that the peer offers when it refuses ours
// (RFC 8011 section 4.1.8). On the io_context's thread.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

#include "probes/ipp/message.h"
#include "probes/ipp/names.h"
#include "probes/ipp/target.h"
#include "probes/ipp/transport.h"

namespace frisket::ipp {

// An answer of either layer. With an HTTP status other than 200 there is no message (RFC 8010 4).
struct Reply {
  unsigned http = 200;
  Message message;

  bool ok() const { return http == 200 && is_successful(message.code); }
  // The service is there and says that what was asked for is not: HTTP 404 or client-error-not-found.
  bool absent() const { return http == 404 || (http == 200 && message.code == status::not_found); }
  // "client-error-not-found", "HTTP 401: it wants a user and a password", ...; with status-message
  // where there is one.
  std::string words() const;
};

// What a reply that is not ok means to the caller: refused, silent (busy, unavailable: later) or nonsense.
model::Error error_of(const Reply& reply, std::string doing, std::string whom);

// Makes attributes; texts are cut to what the protocol allows.
Attribute keywords(std::string name, std::vector<std::string> values);
Attribute text_attribute(std::string name, ValueTag tag, std::string_view value);
Attribute integer_attribute(std::string name, std::int32_t value, ValueTag tag = ValueTag::integer);
Attribute boolean_attribute(std::string name, bool value);

class Client {
 public:
  // The transport must outlive the client.
  Client(Transport& transport, Target target) : transport_(transport), target_(std::move(target)) {}

  const Target& target() const { return target_; }

  // A request to the target with its leading attributes; add to the first group, or further groups.
  // `uri` is the printer-uri if it is not the target's own.
  Message request(Operation operation, std::string_view uri = {}) const;

  // Sends it. Fails as Transport::post() does, with Kind::nonsense for an answer that is not IPP or not
  // to this request, and with Kind::invalid for a request that cannot be written.
  boost::asio::awaitable<model::Result<Reply>> ask(Message request, Repeat repeat, std::string document = {});

 private:
  Transport& transport_;
  Target target_;
  std::uint8_t major_ = 2;
  std::uint8_t minor_ = 0;
  std::int32_t next_request_id_ = 1;
};

}  // namespace frisket::ipp
