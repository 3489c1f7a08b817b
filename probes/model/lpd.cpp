#include "probes/model/lpd.h"

#include <algorithm>
#include <charconv>

#include <boost/url.hpp>
#include <utility>

namespace frisket::model {
namespace {

constexpr std::size_t kMaxUri = 1023;
constexpr std::size_t kMaxQueueName = 127;

Error invalid(std::string what) { return {Error::Kind::invalid, "addressing a queue over LPD", "", std::move(what)}; }

}  // namespace

Result<LpdTarget> lpd_target(std::string_view host, std::uint16_t port, std::string_view queue) {
  if (host.empty()) return invalid("no host");
  if (port == 0) return invalid("port 0");
  if (queue.empty()) return invalid("no name of a queue");
  if (queue.size() > kMaxQueueName) return invalid("the name of the queue is longer than 127 characters");
  if (!std::ranges::all_of(queue, [](char c) { return c > 0x20 && c < 0x7F; }))
    return invalid("the name of the queue has blanks or characters that are not ASCII");
  return LpdTarget{std::string(host), port, std::string(queue)};
}

Result<LpdTarget> lpd_target_of(std::string_view uri) {
  if (uri.size() > kMaxUri) return invalid("it is longer than 1023 octets");
  const auto parsed = boost::urls::parse_uri(boost::core::string_view(uri.data(), uri.size()));
  if (!parsed) return invalid("it is not a URI");
  const auto& view = *parsed;
  if (std::string(view.scheme()) != "lpd") return invalid("its scheme is not lpd");
  if (view.has_userinfo()) return invalid("it contains a user or a password");
  if (view.has_fragment() || view.has_query()) return invalid("it has more than a host and a queue");
  std::uint16_t port = kLpdPort;
  if (view.has_port()) {
    const std::string text(view.port());
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), port);
    if (error != std::errc() || end != text.data() + text.size() || port == 0) return invalid("its port is not a port");
  }
  if (view.segments().size() != 1) return invalid("behind the host it must name one queue");
  return lpd_target(std::string(view.host_address()), port, std::string(*view.segments().begin()));
}

std::string uri_of(const LpdTarget& target) {
  const bool six = target.host.find(':') != std::string::npos;
  std::string uri = "lpd://" + (six ? "[" + target.host + "]" : target.host);
  if (target.port != kLpdPort) uri += ":" + std::to_string(target.port);
  constexpr std::string_view kPlain = "-._~!$&'()*+,;=:@";  // RFC 3986 pchar, besides letters and digits
  constexpr std::string_view kDigits = "0123456789ABCDEF";
  uri += '/';
  for (const char c : target.queue) {
    const bool alphanumeric = (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
    if (alphanumeric || kPlain.find(c) != std::string_view::npos) {
      uri += c;
    } else {
      const auto octet = static_cast<unsigned char>(c);
      uri += {'%', kDigits[octet >> 4U], kDigits[octet & 15U]};
    }
  }
  return uri;
}

}  // namespace frisket::model
