// Who is told of an incident's changes, and how. Pure values; any thread.
//
// docs/configuration.md describes each key, docs/hooks.md what a receiver has to know.
#pragma once

#include <array>
#include <chrono>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "probes/model/severity.h"

namespace frisket::config {

// Of the site's local day; where `to` is not after `from`, it is the next day's.
struct QuietHours {
  std::chrono::minutes from{0};
  std::chrono::minutes to{0};
  friend bool operator==(const QuietHours&, const QuietHours&) = default;
};

// A secret is in memory only: no listing, log or JSON may contain it.
struct WebhookReceiver {
  std::string url;                // http or https
  std::string secret;             // of the signature; empty: not signed
  std::filesystem::path ca_file;  // empty: the system's
  friend bool operator==(const WebhookReceiver&, const WebhookReceiver&) = default;
};

struct MailReceiver {
  enum class Security { starttls, tls, none };

  std::string server;  // an IP literal or a host name
  std::uint16_t port = 587;
  Security security = Security::starttls;
  std::string user;  // empty: nobody logs in
  std::string password;
  std::string from;
  std::vector<std::string> to;
  std::vector<std::string> cc;
  std::filesystem::path ca_file;
  friend bool operator==(const MailReceiver&, const MailReceiver&) = default;
};

struct SyslogReceiver {
  enum class Transport { udp, tcp, tls };

  std::string server;
  std::uint16_t port = 514;
  Transport transport = Transport::udp;
  int facility = 16;  // RFC 5424 section 6.2.1: 16 is local0
  std::filesystem::path ca_file;
  friend bool operator==(const SyslogReceiver&, const SyslogReceiver&) = default;
};

// An empty filter list lets everything through.
struct Hook {
  enum class Type { exec, webhook, mail, syslog };

  std::string name;
  Type type = Type::exec;
  std::filesystem::path program;              // absolute
  std::vector<std::string> arguments;         // passed as they are: there is no shell
  std::chrono::seconds time_limit{10};        // for one attempt
  int parallel = 4;                           // attempts of this hook at once; more wait in line
  std::vector<std::string> kinds{};           // incident kinds
  std::optional<model::Severity> severity{};  // this or worse
  std::vector<std::string> sites{};
  std::vector<std::string> devices{};
  std::vector<model::Training> trainings{};  // who can mend it
  std::vector<std::string> colorants{};      // of the supply it is about; in lower case

  std::chrono::seconds min_duration{0};  // raised for so long before it is told
  std::vector<QuietHours> quiet{};
  std::array<bool, 7> quiet_days{};                                // whole local days, Monday first
  model::Severity quiet_lets_through = model::Severity::critical;  // this or worse is told in quiet hours too
  std::chrono::seconds digest{0};          // what is collected for so long is told in one; 0: each
  std::chrono::seconds remind_every{0};    // 0: never
  std::chrono::seconds escalate_after{0};  // told only if nobody acted for so long; 0: told at once
  bool tell_cleared = true;
  std::chrono::seconds give_up_after{std::chrono::hours{24}};

  WebhookReceiver webhook{};
  MailReceiver mail{};
  SyslogReceiver syslog{};
  friend bool operator==(const Hook&, const Hook&) = default;
};

}  // namespace frisket::config
