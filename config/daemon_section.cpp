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

bool is_loopback(const Listen& listen) { return listen.address.starts_with("127.") || listen.address == "::1"; }

}  // namespace

Daemon read_daemon(Reading& reading, std::optional<std::vector<Token>>& tokens) {
  const toml::table absent;
  const auto* table = single(reading.root, "daemon", "daemon", reading.findings);
  Section section(table ? *table : absent, "daemon", reading.findings);
  Daemon daemon;
  const auto listen = section.text("listen");
  daemon.listen = parse_endpoint(listen).value_or(Listen{});
  if (section.has("tokens")) tokens = tokens_from(reading, section);
  if (!tokens)
    section.warn("tokens",
                 "missing: everybody on this machine may change what the daemon does; a file of tokens says who may");
  if (!is_loopback(daemon.listen) && !tokens)
    section.refuse("listen", '"' + listen + '"',
                   "a loopback address, 127.0.0.0/8 or [::1]; any other only with a file of tokens (daemon.tokens)");
  if (!is_loopback(daemon.listen) && tokens)
    section.warn("listen",
                 "reached from beyond this machine, and the daemon has no TLS of its own: tokens and all that is read "
                 "travel in clear; let it listen on loopback, behind a proxy that has TLS");
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
