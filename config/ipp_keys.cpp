#include "config/ipp_keys.h"

#include <algorithm>

#include "config/secret_key.h"
#include "probes/model/ascii.h"

namespace frisket::config {
namespace {

using Scheme = model::IppCredentials::Scheme;

bool is_hexadecimal(std::string_view text) {
  return std::ranges::all_of(
      text, [](char c) { return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F'); });
}

// Who speaks to this machine itself is overheard by nobody.
bool is_protected(const model::IppTarget& target) {
  if (target.tls || !target.socket.empty() || target.host == "localhost") return true;
  const auto address = parse_address(target.host);
  return address && address->kind != Address::Kind::host_name &&
         (address->normal == "::1" || address->normal.starts_with("127."));
}

}  // namespace

std::optional<model::IppTarget> ipp_target_from(Section& section, std::string_view key) {
  if (!section.has(key)) {
    section.text(key);  // a finding if it is required
    return std::nullopt;
  }
  return ipp_target_in(section, key, section.text(key));
}

std::string shown_uri(const std::string& uri) {
  return uri.find('@') == std::string::npos ? in_quotes(uri) : "a URI with a user or a password";
}

std::optional<model::IppTarget> ipp_target_in(Section& section, std::string_view key, const std::string& uri) {
  if (uri.empty()) return std::nullopt;
  auto target = model::ipp_target_of(uri);
  if (target) return std::move(*target);
  section.refuse(key, shown_uri(uri) + " (" + target.error().what + ")",
                 "a URI such as \"ipp://print.example.org/printers/office\"");
  return std::nullopt;
}

void read_certificate(Section& section, model::IppTarget& target) {
  if (!section.has("certificate")) return;
  const auto text = section.text("certificate");
  if (text.empty()) return;
  if (!is_hexadecimal(text))
    section.refuse("certificate", in_quotes(text),
                   "64 hexadecimal digits, as `openssl x509 -fingerprint -sha256` gives without the colons");
  else if (!target.tls)
    section.error("certificate", "of no use without a URI that begins with ipps:");
  else
    target.pinned_certificate = model::in_lower_case(text);
}

void read_ipp_rights(Reading& reading, Section& section, model::IppTarget& target) {
  read_certificate(section, target);
  if (!section.has("user")) {
    if (section.has("password_file")) section.error("password_file", "of no use without user");
    return;
  }
  target.credentials.user = section.text("user");
  if (section.has("password_file")) {
    target.credentials.scheme = Scheme::basic;
    target.credentials.password = secret_from_file(reading, section, "password_file", 1);
    if (!is_protected(target)) section.error("user", "would send the password in clear; ipps: protects it");
  } else if (!target.socket.empty()) {
    target.credentials.scheme = Scheme::peer;
  } else {
    section.error("password_file", "missing, allowed: the path of a file that holds the user's password");
  }
}

}  // namespace frisket::config
