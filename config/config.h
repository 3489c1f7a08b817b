// What can be configured, as typed values.
//
// load() (loader.h) turns a TOML file into a Config or into the list of everything that
// is wrong with it. A Config is complete and consistent: every name it refers to
// exists, every default is filled in, every secret is read. Pure values; any thread.
// docs/configuration.md describes each key; a test holds the two together.
#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "config/certificate.h"
#include "config/hook.h"
#include "config/print_services.h"
#include "config/token.h"
#include "config/upkeep.h"
#include "probes/model/enums.h"
#include "probes/model/severity.h"
#include "probes/model/time.h"

namespace frisket::config {

using Seconds = std::chrono::seconds;
using model::Milliseconds;

struct Listen {
  std::string address = "127.0.0.1";  // an IP literal
  std::uint16_t port = 9640;          // 0: any free port, which the daemon logs (tests)
  friend bool operator==(const Listen&, const Listen&) = default;
};

struct Daemon {
  Listen listen;
  std::filesystem::path state_dir = "/var/lib/frisket";
  std::filesystem::path socket = "/run/frisket/frisket.sock";  // the client's UNIX socket; empty: none
  std::string log_level = "info";                              // "debug", "info", "warning", "error"
  friend bool operator==(const Daemon&, const Daemon&) = default;
};

struct Site {
  std::string name;
  std::string time_zone = "UTC";  // IANA name
  std::vector<Holiday> holidays{};
  friend bool operator==(const Site&, const Site&) = default;
};

enum class SnmpVersion { v1, v2c, v3 };

// RFC 3414 and RFC 7860.
enum class Authentication { none, md5, sha, sha_224, sha_256, sha_384, sha_512 };

// RFC 3414, RFC 3826, and the draft that lengthens its keys.
enum class Privacy { none, des, aes_128, aes_192, aes_256 };

// The user of SNMPv3. Privacy only with authentication.
struct User {
  std::string name;
  Authentication authentication = Authentication::none;
  std::string authentication_password;
  Privacy privacy = Privacy::none;
  std::string privacy_password;
  std::string context;  // contextName; nearly always empty
  friend bool operator==(const User&, const User&) = default;
};

// A secret is in memory only: no listing, log or JSON may contain it.
struct Credential {
  std::string name;
  SnmpVersion version = SnmpVersion::v2c;
  std::string community{};  // v1 and v2c
  User user{};              // v3
  friend bool operator==(const Credential&, const Credential&) = default;
};

// Not null. Shared: thousands of devices are asked with the same.
using Credentials = std::shared_ptr<const std::vector<Credential>>;

struct Device {
  std::string name;
  std::string address;  // an IP literal or a host name
  std::uint16_t port = 161;
  std::string site;
  std::string location;
  std::vector<std::string> credentials;  // names, tried in order; empty: not asked over SNMP
  Seconds poll_interval{30};
  Seconds attention_interval{10};           // while something is wrong with it
  Seconds silent_interval{120};             // once it counts as silent
  std::string out_of_service{};             // why; empty: it is in service
  std::optional<model::IppTarget> ipp{};    // its own print service; with `credentials` both are asked
  std::optional<std::uint16_t> raw_port{};  // TCP port that prints whatever it is sent; nothing: none is used
  friend bool operator==(const Device&, const Device&) = default;
};

// How asking is done, for all devices.
struct Polling {
  Milliseconds timeout{1500};     // for one attempt
  int attempts = 3;               // in all
  int silent_after = 3;           // missed polls before device-silent is raised
  int in_flight = 256;            // requests outstanding at once
  int in_flight_per_subnet = 64;  // of these, to one IPv4 /24 or IPv6 /64
  friend bool operator==(const Polling&, const Polling&) = default;
};

// Traps and informs. Each can cause a poll and nothing else.
struct Notifications {
  std::optional<Listen> listen;          // nothing: none are received
  std::vector<std::string> credentials;  // names; empty: the source address decides alone
  Milliseconds min_interval{5000};       // between two polls of one device that they cause
  int polls_per_second = 50;             // that they cause, over all devices
  friend bool operator==(const Notifications&, const Notifications&) = default;
};

// When a supply counts as low and when it no longer does, in percent left (for a
// receptacle: percent of room left). clear_at is above low_at: the gap is the hysteresis.
struct SupplyThreshold {
  double low_at = 10.0;
  double nearly_empty_at = 3.0;
  double clear_at = 15.0;
  friend bool operator==(const SupplyThreshold&, const SupplyThreshold&) = default;
};

// What the rules wait for, and how often is too often. Common practice, no source.
struct Rules {
  Seconds cover_grace{180};      // how long a cover or tray may stand open while somebody is at work
  Seconds misload_after{600};    // a tray or cover open for so long is taken for one that cannot close
  Seconds misload_within{300};   // ... and so is one that opens again so soon after it was closed
  int jam_repeats = 3;           // jams at one place
  Seconds jam_within{86400};     // within this time are one trouble that comes back
  Seconds returns_within{600};   // what comes back so soon is the same incident
  Seconds proof_within{86400};   // how long a printed page is waited for as the proof of a fix
  Seconds job_stuck_after{300};  // a job that is being processed and gets no further for so long is stuck
  Seconds backlog_age{1800};     // a job that waits its turn for so long is a backlog,
  int backlog_jobs = 50;         // and so are so many jobs that wait

  SupplyThreshold supply;                                     // for kinds not listed below
  std::map<model::SupplyType, SupplyThreshold> supply_kinds;  // by kind of supply
  friend bool operator==(const Rules&, const Rules&) = default;
};

// Planned work: whatever goes wrong in this time is expected, and nobody is told of it before it is over.
// In local time of the device's site.
struct Maintenance {
  std::string name;
  std::vector<std::string> sites;  // with `devices` both empty: every site
  std::vector<std::string> devices;
  // Either once, from start to end ...
  std::optional<std::chrono::local_seconds> start;
  std::optional<std::chrono::local_seconds> end;
  // ... or every week on these days, from `from` to `to`, which is on the next day if it is not later.
  std::vector<std::chrono::weekday> days;  // none: every day
  std::chrono::minutes from{0};
  std::chrono::minutes to{0};
  friend bool operator==(const Maintenance&, const Maintenance&) = default;
};

// How long the store keeps what is over. What is open, or still to be told, is kept however old.
struct Store {
  std::chrono::days incidents{400};
  std::chrono::days notices{30};
  std::chrono::days readings{2};
  std::chrono::days audit{400};
  std::chrono::days history{800};
  friend bool operator==(const Store&, const Store&) = default;
};

struct Config {
  Daemon daemon;
  std::optional<Certificate> certificate;    // nothing: the listener speaks in clear
  std::optional<std::vector<Token>> tokens;  // nothing: no file of tokens is configured
  Polling polling;
  Notifications notifications;
  Rules rules;
  Store store;
  std::vector<Site> sites;
  std::vector<Credential> credentials;
  std::vector<Device> devices;
  std::vector<Spooler> spoolers;
  std::vector<Queue> queues;
  std::vector<Maintenance> maintenance;
  std::vector<Hook> hooks;
  std::vector<Supplier> suppliers;
  std::vector<Part> parts;
  std::vector<Task> tasks;

  const Site* find_site(const std::string& name) const;
  const Credential* find_credential(const std::string& name) const;
  const Device* find_device(const std::string& name) const;
  std::unordered_map<std::string_view, const Device*> devices_by_name() const;  // to look up many
  const Queue* find_queue(const std::string& name) const;
  const Spooler* find_spooler(const std::string& name) const;

  friend bool operator==(const Config&, const Config&) = default;
};

}  // namespace frisket::config
