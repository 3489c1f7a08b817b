// Where a [[hook]] tells: webhook, mail, syslog.
#include <algorithm>

#include "config/hook_parts.h"
#include "config/secret_key.h"

namespace frisket::config {
namespace {

constexpr std::size_t kShortestSignatureSecret = 16;

struct UrlParts {
  bool encrypted = false;
  std::string host;
};

// Scheme and host of an http(s) URL without user information (RFC 3986 section 3); nothing for anything else.
std::optional<UrlParts> url_parts(std::string_view url) {
  UrlParts parts;
  if (url.starts_with("https://"))
    parts.encrypted = true;
  else if (!url.starts_with("http://"))
    return std::nullopt;
  if (std::ranges::any_of(url, [](unsigned char c) { return c <= 0x20 || c >= 0x7F || c == '"' || c == '\\'; }))
    return std::nullopt;
  url.remove_prefix(parts.encrypted ? 8 : 7);
  const auto authority = url.substr(0, url.find_first_of("/?#"));
  if (authority.find('@') != authority.npos) return std::nullopt;
  const auto bracket = authority.find(']');
  const auto colon = authority.find(':', bracket == authority.npos ? 0 : bracket);
  auto host = authority.substr(0, colon);
  if (host.starts_with('[') && host.ends_with(']')) host = host.substr(1, host.size() - 2);
  if (!parse_address(host)) return std::nullopt;
  parts.host = host;
  return parts;
}

bool is_this_machine(std::string_view host) {
  const auto address = parse_address(host);
  return host == "localhost" || (address && address->kind != Address::Kind::host_name &&
                                 (address->normal == "::1" || address->normal.starts_with("127.")));
}

// local@domain without anything that a header or an SMTP command could take for its own (RFC 5321
// section 4.1.2, without quoted local parts).
bool is_mail_address(std::string_view text) {
  const auto at = text.find('@');
  if (at == text.npos || at == 0 || at > 64 || text.size() > 254) return false;
  const auto local = text.substr(0, at);
  constexpr std::string_view kSpecials = "()<>[]:;@\\,\"";
  const bool plain = std::ranges::all_of(local, [&](unsigned char c) {
    return c > 0x20 && c < 0x7F && kSpecials.find(static_cast<char>(c)) == kSpecials.npos;
  });
  const auto domain = parse_address(text.substr(at + 1));
  return plain && domain && domain->kind == Address::Kind::host_name;
}

std::vector<std::string> mail_addresses(Reading& reading, Section& section, std::string_view key) {
  std::vector<std::string> addresses;
  for (auto& entry : section.list(key)) {
    if (is_mail_address(entry.text))
      addresses.push_back(std::move(entry.text));
    else
      reading.findings.error(entry.place, "hook." + std::string(key) + ": found " + in_quotes(entry.text) +
                                              ", allowed: a mail address such as \"desk@example.org\"");
  }
  return addresses;
}

std::filesystem::path ca_file(Reading& reading, Section& section) {
  const auto path = section.text("ca_file");
  if (path.empty()) return {};
  const auto file = reading.resolved(path);
  std::error_code error;
  if (!std::filesystem::is_regular_file(file, error))
    section.refuse("ca_file", in_quotes(path) + " (no such regular file)", "a file of certificates in PEM");
  return std::filesystem::absolute(file, error);
}

// True if the key is there; else that is a finding.
bool need(Section& section, std::string_view key, std::string_view what) {
  if (section.has(key)) return true;
  section.error(key, "missing, allowed: " + std::string(what));
  return false;
}

std::uint16_t port_or(Section& section, std::uint16_t otherwise) {
  return section.has("port") ? static_cast<std::uint16_t>(section.integer("port")) : otherwise;
}

MailReceiver::Security security_from(std::string_view word) {
  if (word == "tls") return MailReceiver::Security::tls;
  return word == "none" ? MailReceiver::Security::none : MailReceiver::Security::starttls;
}

std::uint16_t usual_port(MailReceiver::Security security) {
  if (security == MailReceiver::Security::tls) return 465;  // RFC 8314 section 7.3
  return security == MailReceiver::Security::none ? 25 : 587;
}

void check_security(Section& section, const MailReceiver& mail) {
  if (mail.security != MailReceiver::Security::none || is_this_machine(mail.server)) return;
  section.warn("security", "\"none\": everybody on the way can read along and change what is sent");
  if (!mail.user.empty()) section.error("user", "would send the password in clear with security = \"none\"");
}

int facility_from(std::string_view word) {
  constexpr std::array<std::pair<std::string_view, int>, 4> kNamed = {
      {{"user", 1}, {"mail", 2}, {"daemon", 3}, {"lpr", 6}}};
  for (const auto& [name, number] : kNamed)
    if (name == word) return number;
  return word.starts_with("local") ? 16 + (word.back() - '0') : 16;
}

}  // namespace

void read_webhook(Reading& reading, Section& section, WebhookReceiver& webhook) {
  webhook.secret = secret_from_file(reading, section, "secret_file", kShortestSignatureSecret);
  webhook.ca_file = ca_file(reading, section);
  const bool insecure = section.flag("insecure");
  if (!section.has("secret_file"))
    section.warn("secret_file", "missing: the receiver cannot tell our notices from anybody's");
  if (!need(section, "url", "an https URL")) return;
  webhook.url = section.text("url");
  if (webhook.url.empty()) return;
  const auto parts = url_parts(webhook.url);
  if (!parts) {
    section.refuse("url", in_quotes(webhook.url), "\"https://host[:port]/path\", without a user or a password");
    return;
  }
  if (parts->encrypted || is_this_machine(parts->host)) return;
  if (insecure)
    section.warn("insecure", "notices travel in clear to " + parts->host);
  else
    section.error("url", "\"http\" to another machine sends notices in clear; use \"https\", or insecure = true");
}

void read_mail(Reading& reading, Section& section, MailReceiver& mail) {
  if (need(section, "server", "the mail server")) mail.server = section.text("server");
  mail.security = security_from(section.text("security"));
  mail.port = port_or(section, usual_port(mail.security));
  mail.user = section.text("user");
  mail.password = secret_from_file(reading, section, "password_file", 1);
  mail.ca_file = ca_file(reading, section);
  if (section.has("user") != section.has("password_file"))
    section.error(section.has("user") ? "user" : "password_file", "user and password_file go together");
  check_security(section, mail);
  if (need(section, "from", "the address of the sender")) {
    mail.from = section.text("from");
    if (!mail.from.empty() && !is_mail_address(mail.from))
      section.refuse("from", in_quotes(mail.from), "a mail address such as \"frisket@example.org\"");
  }
  if (need(section, "to", "the addresses of the receivers")) mail.to = mail_addresses(reading, section, "to");
  mail.cc = mail_addresses(reading, section, "cc");
}

void read_syslog(Reading& reading, Section& section, SyslogReceiver& syslog) {
  if (need(section, "server", "the syslog server")) syslog.server = section.text("server");
  const auto transport = section.text("transport");
  if (transport == "tcp") syslog.transport = SyslogReceiver::Transport::tcp;
  if (transport == "tls") syslog.transport = SyslogReceiver::Transport::tls;
  const bool tls = syslog.transport == SyslogReceiver::Transport::tls;
  syslog.port = port_or(section, tls ? 6514 : 514);  // RFC 5425 section 4.1, RFC 5426 section 3.3
  syslog.facility = facility_from(section.text("facility"));
  syslog.ca_file = ca_file(reading, section);
  if (section.has("ca_file") && !tls) section.error("ca_file", "of no use without transport = \"tls\"");
}

}  // namespace frisket::config
