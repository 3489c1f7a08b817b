// [daemon], [polling] and [store].
#include "config/sections.h"

namespace frisket::config {

Daemon read_daemon(Reading& reading) {
  const toml::table absent;
  const auto* table = single(reading.root, "daemon", "daemon", reading.findings);
  Section section(table ? *table : absent, "daemon", reading.findings);
  Daemon daemon;
  const auto listen = section.text("listen");
  daemon.listen = parse_endpoint(listen).value_or(Listen{});
  // Whoever can reach the listener can read the fleet: there is no way to ask who they are yet.
  if (!daemon.listen.address.starts_with("127.") && daemon.listen.address != "::1")
    section.refuse("listen", '"' + listen + '"', "a loopback address: 127.0.0.0/8 or [::1]");
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
  return store;
}

}  // namespace frisket::config
