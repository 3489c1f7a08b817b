// [daemon], [polling] and [store].
#include "config/secret_file.h"
#include "config/sections.h"

namespace frisket::config {
namespace {

constexpr std::size_t kLargestTokenFile = 65536;

// What the file says, or all that is wrong with it. Engaged even then, so that one mistake does not show as two.
std::vector<Token> tokens_from(const Reading& reading, Section& section) {
  const auto path = section.text("tokens");
  if (path.empty()) return {};  // refused by the section itself
  const auto file = read_guarded(reading.resolved(path), kLargestTokenFile);
  if (!file) {
    section.refuse("tokens", in_quotes(path) + " (" + file.error().what + ")",
                   "a regular file of at most " + std::to_string(kLargestTokenFile) + " bytes that can be read");
    return {};
  }
  if (file->others_may_write)
    section.refuse("tokens", in_quotes(path) + ", which everybody on this machine may change",
                   "a file that others may not write; chmod o-w ends that");
  auto lines = parse_tokens(file->content);
  for (const auto& trouble : lines.troubles)
    section.error("tokens", in_quotes(path) + " line " + std::to_string(trouble.line) + ": " + trouble.what);
  if (lines.tokens.empty() && lines.troubles.empty())
    section.warn("tokens", in_quotes(path) + " has no token: nobody may change anything over TCP");
  return std::move(lines.tokens);
}

constexpr std::size_t kLargestCertificateFile = 262144;

std::optional<GuardedFile> pem_in(const Reading& reading, Section& section, const char* name) {
  const auto path = section.text(name);
  if (path.empty()) return std::nullopt;  // refused by the section itself
  auto file = read_guarded(reading.resolved(path), kLargestCertificateFile);
  if (file) return std::move(*file);
  section.refuse(name, in_quotes(path) + " (" + file.error().what + ")",
                 "a regular file of at most " + std::to_string(kLargestCertificateFile) + " bytes that can be read");
  return std::nullopt;
}

// Both keys or none. Engaged even if they do not fit, which is an error of its own.
std::optional<Certificate> certificate_from(const Reading& reading, Section& section) {
  const bool has_certificate = section.has("certificate_file");
  if (has_certificate != section.has("key_file")) {
    section.error(has_certificate ? "key_file" : "certificate_file",
                  "missing: certificate_file and key_file belong together");
    return std::nullopt;
  }
  if (!has_certificate) return std::nullopt;
  auto chain = pem_in(reading, section, "certificate_file");
  auto key = pem_in(reading, section, "key_file");
  if (!chain || !key) return Certificate{};
  if (key->others_may_read || key->others_may_write)
    section.error("key_file", "everybody on this machine may read or change it; chmod o-rw ends that");
  Certificate certificate{std::move(chain->content), std::move(key->content)};
  if (const auto fits = check(certificate); !fits) section.error("certificate_file", fits.error().what);
  return certificate;
}

bool is_loopback(const Listen& listen) { return listen.address.starts_with("127.") || listen.address == "::1"; }

}  // namespace

Daemon read_daemon(Reading& reading, std::optional<std::vector<Token>>& tokens,
                   std::optional<Certificate>& certificate) {
  const toml::table absent;
  const auto* table = single(reading.root, "daemon", "daemon", reading.findings);
  Section section(table ? *table : absent, "daemon", reading.findings);
  Daemon daemon;
  const auto listen = section.text("listen");
  daemon.listen = parse_endpoint(listen).value_or(Listen{});
  if (section.has("tokens")) tokens = tokens_from(reading, section);
  certificate = certificate_from(reading, section);
  if (!tokens)
    section.warn("tokens",
                 "missing: everybody on this machine may change what the daemon does; a file of tokens says who may");
  if (!is_loopback(daemon.listen) && !tokens)
    section.refuse("listen", '"' + listen + '"',
                   "a loopback address, 127.0.0.0/8 or [::1]; any other only with a file of tokens (daemon.tokens)");
  if (!is_loopback(daemon.listen) && tokens && !certificate)
    section.warn("listen",
                 "reached from beyond this machine without TLS: tokens and all that is read travel in clear; "
                 "certificate_file and key_file end that, or let it listen on loopback, behind a proxy that has TLS");
  daemon.state_dir = reading.resolved(section.text("state_dir"));
  const auto socket = section.text("socket");
  daemon.socket = socket.empty() ? std::filesystem::path{} : reading.resolved(socket);
  daemon.log_level = section.text("log_level");
  return daemon;
}

Polling read_polling(Reading& reading) {
  const toml::table absent;
  const auto* table = single(reading.root, "polling", "polling", reading.findings);
  Section section(table ? *table : absent, "polling", reading.findings);
  Polling polling;
  polling.timeout = section.duration("timeout");
  polling.attempts = static_cast<int>(section.integer("attempts"));
  polling.silent_after = static_cast<int>(section.integer("silent_after"));
  polling.in_flight = static_cast<int>(section.integer("in_flight"));
  polling.in_flight_per_subnet = static_cast<int>(section.integer("in_flight_per_subnet"));
  return polling;
}

Store read_store(Reading& reading) {
  const toml::table absent;
  const auto* table = single(reading.root, "store", "store", reading.findings);
  Section section(table ? *table : absent, "store", reading.findings);
  Store store;
  store.incidents = std::chrono::days{section.integer("incidents")};
  store.notices = std::chrono::days{section.integer("notices")};
  store.readings = std::chrono::days{section.integer("readings")};
  store.audit = std::chrono::days{section.integer("audit")};
  store.history = std::chrono::days{section.integer("history")};
  return store;
}

}  // namespace frisket::config
