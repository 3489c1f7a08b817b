#include "probes/ipp/client.h"

#include <limits>
#include <utility>

#include "probes/ipp/codec.h"

namespace frisket::ipp {
namespace {

using Kind = model::Error::Kind;

constexpr std::size_t kMaxName = 255;  // RFC 8011 section 5.1: names, keywords
constexpr std::size_t kMaxUri = 1023;

// The answers of HTTP that say something about the service (RFC 9110; the list is from memory).
std::string http_words(unsigned status) {
  const std::string number = "HTTP " + std::to_string(status) + ": ";
  switch (status) {
    case 401:
      return number + "it wants a user and a password";
    case 403:
      return number + "it forbids this";
    case 404:
      return number + "nothing is there";
    case 426:
      return number + "it wants TLS (ipps)";
    case 503:
      return number + "it is unavailable for now";
    default:
      return number + "no IPP answer";
  }
}

Kind kind_of(const Reply& reply) {
  if (reply.http != 200) {
    if (reply.http == 401 || reply.http == 403 || reply.http == 426) return Kind::refused;
    if (reply.http == 404) return Kind::invalid;
    return reply.http >= 500 ? Kind::silent : Kind::nonsense;
  }
  switch (reply.message.code) {
    case status::forbidden:
    case status::not_authenticated:
    case status::not_authorized:
      return Kind::refused;
    case status::busy:
    case status::service_unavailable:
      return Kind::silent;
    default:
      return Kind::invalid;
  }
}

}  // namespace

std::string Reply::words() const {
  if (http != 200) return http_words(http);
  std::string words = status_text(message.code);
  const auto* operation = message.first(GroupTag::operation);
  if (operation == nullptr) return words;
  const auto said = operation->text("status-message");
  return said.empty() ? words : words + ": " + said;
}

model::Error error_of(const Reply& reply, std::string doing, std::string whom) {
  return {kind_of(reply), std::move(doing), std::move(whom), reply.words()};
}

Attribute keywords(std::string name, std::vector<std::string> values) {
  Attribute attribute{std::move(name), ValueTag::keyword, {}};
  for (auto& value : values) attribute.values.emplace_back(Text{std::move(value), {}});
  return attribute;
}

Attribute text_attribute(std::string name, ValueTag tag, std::string_view value) {
  const std::size_t limit = tag == ValueTag::text || tag == ValueTag::uri ? kMaxUri : kMaxName;
  return {std::move(name), tag, {Text{model::decode_text(value, model::Charset::utf8, limit), {}}}};
}

Attribute integer_attribute(std::string name, std::int32_t value, ValueTag tag) {
  return {std::move(name), tag, {value}};
}

Attribute boolean_attribute(std::string name, bool value) { return {std::move(name), ValueTag::boolean, {value}}; }

Message Client::request(Operation operation, std::string_view uri) const {
  Message message;
  message.code = static_cast<std::int16_t>(operation);
  Group first{GroupTag::operation, {}};
  first.attributes.push_back(text_attribute("attributes-charset", ValueTag::charset, "utf-8"));
  first.attributes.push_back(text_attribute("attributes-natural-language", ValueTag::natural_language, "en"));
  first.attributes.push_back(
      text_attribute("printer-uri", ValueTag::uri, uri.empty() ? std::string_view(target_.uri) : uri));
  const auto& user = target_.credentials.user;
  first.attributes.push_back(
      text_attribute("requesting-user-name", ValueTag::name, user.empty() ? std::string_view("frisket") : user));
  message.groups.push_back(std::move(first));
  return message;
}

boost::asio::awaitable<model::Result<Reply>> Client::ask(Message request, Repeat repeat, std::string document) {
  const std::string doing(to_text(static_cast<Operation>(request.code)));
  for (bool last = false;; last = true) {
    request.major = major_;
    request.minor = minor_;
    request.request_id = next_request_id_;
    next_request_id_ = next_request_id_ == std::numeric_limits<std::int32_t>::max() ? 1 : next_request_id_ + 1;
    auto octets = encode(request);
    if (!octets) co_return octets.error();
    auto sent = co_await transport_.post(target_, *octets + document, repeat);
    if (!sent) {
      auto error = sent.error();
      error.doing = doing;
      co_return error;
    }
    Reply reply;
    reply.http = sent->status;
    if (reply.http != 200) co_return reply;
    auto decoded = decode(sent->body);
    if (!decoded)
      co_return model::Error{Kind::nonsense, doing, target_.uri, "its IPP answer is broken: " + decoded.error().what};
    reply.message = std::move(decoded->message);
    if (reply.message.code == status::version_not_supported && !last && reply.message.major > 0 &&
        (reply.message.major != major_ || reply.message.minor != minor_)) {
      // The answer's header names the nearest version that the peer has.
      major_ = reply.message.major;
      minor_ = reply.message.minor;
      continue;
    }
    if (reply.message.request_id != request.request_id)
      co_return model::Error{Kind::nonsense, doing, target_.uri, "its answer is to another request"};
    co_return reply;
  }
}

}  // namespace frisket::ipp
