#include "config/keys.h"

#include <algorithm>
#include <array>
#include <charconv>

#include "config/findings.h"
#include "config/syntax.h"

namespace frisket::config {
namespace {

using std::string_view;

constexpr std::array<string_view, 4> kLogLevels = {"debug", "info", "warning", "error"};
constexpr std::array<string_view, 3> kVersions = {"1", "2c", "3"};
constexpr std::array<string_view, 7> kAuthentications = {"none",    "md5",     "sha",    "sha-224",
                                                         "sha-256", "sha-384", "sha-512"};
constexpr std::array<string_view, 5> kPrivacies = {"none", "des", "aes-128", "aes-192", "aes-256"};
constexpr std::array<string_view, 4> kHookTypes = {"exec", "webhook", "mail", "syslog"};
constexpr std::array<string_view, 3> kSecurities = {"starttls", "tls", "none"};
constexpr std::array<string_view, 3> kTransports = {"udp", "tcp", "tls"};
// RFC 5424 section 6.2.1, under the names of syslog.h.
constexpr std::array<string_view, 12> kFacilities = {"user",   "lpr",    "mail",   "daemon", "local0", "local1",
                                                     "local2", "local3", "local4", "local5", "local6", "local7"};
constexpr std::array<string_view, 4> kSeverities = {"warning", "minor", "major", "critical"};

constexpr double kSecond = 1000;
constexpr double kMinute = 60 * kSecond;
constexpr double kHour = 60 * kMinute;
constexpr double kLongestPath = 4095;   // PATH_MAX without the NUL
constexpr double kLongestSocket = 107;  // sun_path (unix(7)) without the NUL

constexpr std::int64_t whole(std::int64_t value) { return value; }

// One row for each key: that reads better wide.
// clang-format off
constexpr std::array kKeys = {
    Key{"daemon", "listen", Type::endpoint, "127.0.0.1:9640", 0, 0, {},
        "Where HTTP is served: a loopback address, or, with `tokens`, any other. Port 0 takes any free port, which the log names."},
    Key{"daemon", "tokens", Type::path, Nothing{}, 1, kLongestPath, {},
        "File of tokens, which says who may do what over TCP; read again at each reload. Absent: everybody on this machine may do everything, which is a warning."},
    Key{"daemon", "certificate_file", Type::path, Nothing{}, 1, kLongestPath, {},
        "The daemon's certificate in PEM, then those of its issuers: HTTP is served over TLS then, and only so. Read again at each reload."},
    Key{"daemon", "key_file", Type::path, Nothing{}, 1, kLongestPath, {},
        "The certificate's private key in PEM, without a pass phrase; others may not read it."},
    Key{"daemon", "state_dir", Type::path, "/var/lib/frisket", 1, kLongestPath, {},
        "Folder of what the daemon has to remember. Not looked at by `--check`."},
    Key{"daemon", "socket", Type::path, "/run/frisket/frisket.sock", 0, kLongestSocket, {},
        "UNIX socket of the client on this machine; empty: none."},
    Key{"daemon", "log_level", Type::word, "info", 0, 0, kLogLevels,
        "Least level of the lines that are logged."},

    Key{"polling", "timeout", Type::duration, "1500ms", 100, kMinute, {},
        "How long one attempt waits for the answer, at most: the first waits no longer than four deviations above what the device usually takes (RFC 6298), and the whole wait is as long as without that."},
    Key{"polling", "attempts", Type::integer, whole(3), 1, 10, {},
        "Requests sent in all before a poll counts as missed."},
    Key{"polling", "silent_after", Type::integer, whole(3), 1, 100, {},
        "Missed polls in a row after which `device-silent` is raised."},
    Key{"polling", "in_flight", Type::integer, whole(256), 1, 10000, {},
        "Requests outstanding at once, over all devices."},
    Key{"polling", "in_flight_per_subnet", Type::integer, whole(64), 1, 10000, {},
        "Of these, to one IPv4 /24 or IPv6 /64, so that a slow line to one place holds up no other."},

    Key{"notifications", "listen", Type::listener, "", 0, 0, {},
        "Where traps and informs are received; empty: nowhere. SNMP's own port is 162."},
    Key{"notifications", "credentials", Type::name_list, Nothing{}, 0, 64, {},
        "Names of `[[credential]]` sections that a notification must be sent with; empty: the address of a configured device is enough, and with SNMPv3 one of its users."},
    Key{"notifications", "min_interval", Type::duration, "5s", 100, kHour, {},
        "Least time between two polls of one device that notifications cause."},
    Key{"notifications", "polls_per_second", Type::integer, whole(50), 1, 10000, {},
        "Most polls that notifications cause in a second, over all devices; further ones wait their turn."},

    Key{"store", "incidents", Type::integer, whole(400), 1, 36500, {},
        "Days for which incidents that are over are kept, and their changes."},
    Key{"store", "notices", Type::integer, whole(30), 1, 36500, {},
        "Days for which notices that were told, dropped or given up are kept."},
    Key{"store", "readings", Type::integer, whole(2), 1, 3650, {},
        "Days for which the readings that changed something are kept, for looking into what was raised and why."},
    Key{"store", "audit", Type::integer, whole(400), 1, 36500, {},
        "Days for which the record of who changed what is kept."},
    Key{"store", "history", Type::integer, whole(800), 60, 36500, {},
        "Days for which counters and levels are kept, for forecasts and meter readings. A year's course needs more than 380."},

    Key{"rules", "cover_grace", Type::seconds, "3m", 0, kHour, {},
        "How long a cover or a tray may stand open while somebody is at work: the incident is acknowledged, or a supply is being replaced."},
    Key{"rules", "misload_after", Type::seconds, "10m", kMinute, 24 * kHour, {},
        "A tray or cover that stands open for so long is taken for one that cannot close: `tray-misload`."},
    Key{"rules", "misload_within", Type::seconds, "5m", 0, 24 * kHour, {},
        "So is one that opens again so soon after it was closed."},
    Key{"rules", "jam_repeats", Type::integer, whole(3), 2, 30, {},
        "So many jams at one place within `jam_within` are `jam-recurring`."},
    Key{"rules", "jam_within", Type::seconds, "24h", kMinute, 720 * kHour, {},
        "See `jam_repeats`."},
    Key{"rules", "returns_within", Type::seconds, "10m", 0, 24 * kHour, {},
        "What comes back so soon after it was cleared is the same incident, raised again."},
    Key{"rules", "proof_within", Type::seconds, "24h", kMinute, 720 * kHour, {},
        "How long a printed page is waited for as the proof that a fix holds."},

    Key{"rules", "job_stuck_after", Type::seconds, "5m", kSecond, 24 * kHour, {},
        "A job that is being processed and gets no further for so long, while its device does not print, is `job-stuck`."},
    Key{"rules", "backlog_age", Type::seconds, "30m", kSecond, 720 * kHour, {},
        "A job that waits its turn for so long is a `queue-backlog`."},
    Key{"rules", "backlog_jobs", Type::integer, whole(50), 1, 10000, {},
        "So many jobs that wait are a `queue-backlog` too."},

    Key{"rules.supply", "low_at", Type::number, 10.0, 0, 100, {},
        "Percent left at or below which a supply is low."},
    Key{"rules.supply", "nearly_empty_at", Type::number, 3.0, 0, 100, {},
        "Percent left at or below which it is nearly empty; not above `low_at`."},
    Key{"rules.supply", "clear_at", Type::number, 15.0, 0, 100, {},
        "Percent left at or above which it is no longer low; above `low_at`, or a level that wavers would be told of over and over."},

    Key{"rules.supply.KIND", "low_at", Type::number, Nothing{}, 0, 100, {},
        "As above, for this kind of supply."},
    Key{"rules.supply.KIND", "nearly_empty_at", Type::number, Nothing{}, 0, 100, {},
        "As above."},
    Key{"rules.supply.KIND", "clear_at", Type::number, Nothing{}, 0, 100, {},
        "As above."},

    Key{"site", "name", Type::name, Required{}, 1, 64, {},
        "How devices and hooks refer to the site."},
    Key{"site", "time_zone", Type::zone, "UTC", 0, 0, {},
        "The site's IANA time zone; it must exist on this machine (Debian: `tzdata`)."},
    Key{"site", "holidays", Type::text_list, Nothing{}, 0, 400, {},
        "Days on which the site is closed: `\"2026-12-24\"`, or `\"12-25\"` for each year. Little is printed then, and the forecasts know it."},

    Key{"credential", "name", Type::name, Required{}, 1, 64, {},
        "How devices refer to it."},
    Key{"credential", "version", Type::word, "2c", 0, 0, kVersions,
        "SNMP version. `\"1\"` and `\"2c\"` take a community, `\"3\"` takes a user."},
    Key{"credential", "community_file", Type::path, Nothing{}, 1, kLongestPath, {},
        "File of 1 to 4096 bytes that holds the community and nothing else; one line end at its end is dropped. A warning if everybody may read it."},
    Key{"credential", "community", Type::secret, Nothing{}, 1, 255, {},
        "The community itself, in place of `community_file`. Always a warning, since configurations get copied."},
    Key{"credential", "user", Type::text, Nothing{}, 1, 32, {},
        "SNMPv3: name of the user, as the device has it; required."},
    Key{"credential", "authentication", Type::word, "none", 0, 0, kAuthentications,
        "SNMPv3: how the user proves who he is. A warning for `\"none\"` and `\"md5\"`."},
    Key{"credential", "authentication_password_file", Type::path, Nothing{}, 1, kLongestPath, {},
        "SNMPv3: file that holds the password of authentication, 8 to 255 bytes, and nothing else."},
    Key{"credential", "authentication_password", Type::secret, Nothing{}, 8, 255, {},
        "SNMPv3: the password itself, in place of the file. Always a warning."},
    Key{"credential", "privacy", Type::word, "none", 0, 0, kPrivacies,
        "SNMPv3: how what is said is encrypted; only with authentication. A warning for `\"none\"` and `\"des\"`."},
    Key{"credential", "privacy_password_file", Type::path, Nothing{}, 1, kLongestPath, {},
        "SNMPv3: file that holds the password of privacy, 8 to 255 bytes, and nothing else."},
    Key{"credential", "privacy_password", Type::secret, Nothing{}, 8, 255, {},
        "SNMPv3: the password itself, in place of the file. Always a warning."},
    Key{"credential", "context", Type::text, "", 0, 255, {},
        "SNMPv3: name of the context to be read; nearly every printer has only the empty one."},

    Key{"device", "name", Type::name, Required{}, 1, 64, {},
        "What the device is called in every answer and incident."},
    Key{"device", "address", Type::address, Required{}, 1, 253, {},
        "Where it is. No two devices may share an address and a port."},
    Key{"device", "port", Type::integer, whole(161), 1, 65535, {},
        "UDP port of its SNMP agent."},
    Key{"device", "site", Type::name, Required{}, 1, 64, {},
        "The `[[site]]` that it stands at."},
    Key{"device", "location", Type::text, "", 0, 255, {},
        "Where to walk to, for people."},
    Key{"device", "credentials", Type::name_list, Nothing{}, 1, 16, {},
        "Names of `[[credential]]` sections, tried in this order; required unless there is `ipp`."},
    Key{"device", "ipp", Type::text, Nothing{}, 1, 1023, {},
        "URI of the device's own print service, such as `\"ipp://192.0.2.21/ipp/print\"`: it is asked over IPP, beside SNMP or, without `credentials`, in its place."},
    Key{"device", "certificate", Type::text, Nothing{}, 64, 64, {},
        "SHA-256 of the certificate that this service has for `ipps`, in hexadecimal; absent: the one seen first is trusted."},
    Key{"device", "raw_port", Type::integer, Nothing{}, 1, 65535, {},
        "TCP port, mostly 9100, that prints plain text as it comes: a test page goes there if neither `ipp` nor a `[[queue]]` of the device can take it. Absent: no port is used."},
    Key{"device", "poll_interval", Type::seconds, "30s", kSecond, 24 * kHour, {},
        "Time from one poll to the next, while nothing is wrong."},
    Key{"device", "attention_interval", Type::seconds, Nothing{}, kSecond, 24 * kHour, {},
        "The same while something is wrong with it or somebody is at work on it; not above `poll_interval`. Absent: a third of `poll_interval`, but at least 10 s where that is not more."},
    Key{"device", "silent_interval", Type::seconds, Nothing{}, kSecond, 24 * kHour, {},
        "The same once it counts as silent; not below `poll_interval`. Absent: four times `poll_interval`, but at most 5 min where that is not less."},
    Key{"device", "out_of_service", Type::text, "", 0, 255, {},
        "Why it is out of service; it is still polled and shown, but raises no incident. Empty: it is in service."},

    Key{"spooler", "name", Type::name, Required{}, 1, 64, {},
        "What the print service is called; its queues that no `[[queue]]` names are called `QUEUE@SPOOLER`."},
    Key{"spooler", "uri", Type::text, Required{}, 1, 1023, {},
        "Where it is: `\"ipp://localhost/\"`, `\"ipps://print.example.org/\"`."},
    Key{"spooler", "socket", Type::path, "", 0, kLongestSocket, {},
        "UNIX socket on which it is asked in place of host and port; empty: none."},
    Key{"spooler", "site", Type::name, Nothing{}, 1, 64, {},
        "The `[[site]]` that its queues belong to, unless their device says."},
    Key{"spooler", "all_queues", Type::boolean, true, 0, 0, {},
        "Whether all of its queues are watched, or only those that a `[[queue]]` names."},
    Key{"spooler", "poll_interval", Type::seconds, "30s", kSecond, 24 * kHour, {},
        "Time from one pass over all of its queues to the next."},
    Key{"spooler", "user", Type::text, Nothing{}, 1, 255, {},
        "Whom it is asked as, by HTTP Basic over TLS, to this machine or over the socket; absent: nobody."},
    Key{"spooler", "password_file", Type::path, Nothing{}, 1, kLongestPath, {},
        "File that holds the user's password, 1 to 255 bytes, and nothing else; absent: over the socket the kernel vouches for the user."},
    Key{"spooler", "certificate", Type::text, Nothing{}, 64, 64, {},
        "SHA-256 of its certificate for `ipps`, in hexadecimal; absent: the one seen first is trusted."},
    Key{"spooler", "default_location", Type::text, "", 0, 255, {},
        "Where its default queue belongs: another location of that queue is `default-queue-elsewhere`. Empty: anywhere."},
    Key{"spooler", "restart_program", Type::path, Nothing{}, 1, kLongestPath, {},
        "Absolute path of an executable file that starts the spooler again when a person asks for it; absent: that cannot be asked. No shell, no search path."},
    Key{"spooler", "restart_arguments", Type::text_list, Nothing{}, 0, 64, {},
        "Passed to the program as they are."},

    Key{"queue", "name", Type::name, Required{}, 1, 64, {},
        "What the queue is called in every answer and incident."},
    Key{"queue", "uri", Type::text, Required{}, 1, 1023, {},
        "Where it is: `\"ipp://localhost/printers/office\"`. One behind the host and port of a `[[spooler]]` is read in the pass over that. `\"lpd://server/office\"`: a queue of an old print server, read by LPD (RFC 1179) and never changed."},
    Key{"queue", "device", Type::name, Nothing{}, 1, 64, {},
        "The `[[device]]` that it prints on; absent: found by the queue's device URI, address or IEEE 1284 id."},
    Key{"queue", "site", Type::name, Nothing{}, 1, 64, {},
        "The `[[site]]` it belongs to; absent: that of its device, else of its spooler."},
    Key{"queue", "poll_interval", Type::seconds, "30s", kSecond, 24 * kHour, {},
        "Time from one poll to the next, where no `[[spooler]]` is passed over."},
    Key{"queue", "user", Type::text, Nothing{}, 1, 255, {},
        "As of a `[[spooler]]`, which a queue behind it takes its own from."},
    Key{"queue", "password_file", Type::path, Nothing{}, 1, kLongestPath, {},
        "As of a `[[spooler]]`."},
    Key{"queue", "certificate", Type::text, Nothing{}, 64, 64, {},
        "As of a `[[spooler]]`."},
    Key{"queue", "automatic", Type::keyword_list, Nothing{}, 0, 2, {},
        "Kinds of incident that are cured without anybody asking: `\"queue-stopped\"` by resuming the queue, `\"job-stuck\"` by cancelling the job at its head. Absent: none."},
    Key{"queue", "automatic_per_day", Type::integer, whole(3), 1, 100, {},
        "So often in any 24 hours, at most."},
    Key{"queue", "automatic_job_age", Type::seconds, "30m", kMinute, 720 * kHour, {},
        "A job younger than this is never cancelled so."},

    Key{"maintenance", "name", Type::name, Required{}, 1, 64, {},
        "What the planned work is called in the log."},
    Key{"maintenance", "sites", Type::name_list, Nothing{}, 0, 256, {},
        "Names of `[[site]]` sections that it is planned at."},
    Key{"maintenance", "devices", Type::name_list, Nothing{}, 0, 1024, {},
        "Names of `[[device]]` sections that it is planned for; without `sites` and `devices` it is planned everywhere."},
    Key{"maintenance", "start", Type::text, Nothing{}, 16, 16, {},
        "For work that is done once: when it starts, in local time of the site: `\"2026-12-24T18:00\"`."},
    Key{"maintenance", "end", Type::text, Nothing{}, 16, 16, {},
        "When it ends, written in the same way."},
    Key{"maintenance", "days", Type::text_list, Nothing{}, 0, 7, {},
        "For work of every week: the days on which it starts, of `\"mon\"` to `\"sun\"`; none: every day."},
    Key{"maintenance", "from", Type::text, Nothing{}, 5, 5, {},
        "From when, in local time of the site: `\"22:00\"`."},
    Key{"maintenance", "to", Type::text, Nothing{}, 5, 5, {},
        "Until when, on the next day if it is not later than `from`."},

    Key{"hook", "name", Type::name, Required{}, 1, 64, {},
        "What the hook is called in the log and to its receiver."},
    Key{"hook", "type", Type::word, Required{}, 0, 0, kHookTypes,
        "`\"exec\"` runs a program, `\"webhook\"` posts JSON, `\"mail\"` sends mail, `\"syslog\"` sends a syslog message."},

    Key{"hook", "kinds", Type::keyword_list, Nothing{}, 0, 256, {},
        "Kinds of incident that it is told of; empty: all."},
    Key{"hook", "severity", Type::word, Nothing{}, 0, 0, kSeverities,
        "It is told of incidents of this severity or worse; absent: of all."},
    Key{"hook", "sites", Type::name_list, Nothing{}, 0, 256, {},
        "Names of `[[site]]` sections that it is told of; empty: all."},
    Key{"hook", "devices", Type::name_list, Nothing{}, 0, 4096, {},
        "Names of `[[device]]` sections that it is told of; empty: all."},
    Key{"hook", "training", Type::keyword_list, Nothing{}, 0, 3, {},
        "`\"untrained\"`, `\"trained\"`, `\"field-service\"`: it is told of what these can mend; empty: of all."},
    Key{"hook", "colorants", Type::text_list, Nothing{}, 0, 64, {},
        "Colours such as `\"black\"`: it is told only of incidents about a supply of one of these; empty: of all incidents."},
    Key{"hook", "min_duration", Type::seconds, "0s", 0, 7 * 24 * kHour, {},
        "It is told of what has been raised for so long; what is cleared sooner is not told at all."},
    Key{"hook", "quiet", Type::text_list, Nothing{}, 0, 16, {},
        "Times of day in which it is not told, such as `\"22:00-06:30\"`, by the clock of the incident's site; what comes up then is told at their end."},
    Key{"hook", "quiet_days", Type::keyword_list, Nothing{}, 0, 6, {},
        "Days, `\"mon\"` to `\"sun\"`, that are quiet as a whole, by the clock of the incident's site."},
    Key{"hook", "quiet_lets_through", Type::word, "critical", 0, 0, kSeverities,
        "Incidents of this severity or worse are told in quiet times too."},
    Key{"hook", "digest", Type::seconds, "0s", 0, 7 * 24 * kHour, {},
        "Notices are collected for so long from the first on, and told in one; `\"0s\"`: each by itself. Not for syslog."},
    Key{"hook", "remind_every", Type::seconds, "0s", 0, 30 * 24 * kHour, {},
        "It is told again after so long of what is raised and neither acknowledged, shelved nor closed; `\"0s\"`: never."},
    Key{"hook", "escalate_after", Type::seconds, "0s", 0, 30 * 24 * kHour, {},
        "It is told only of what has been raised for so long without anybody acknowledging it; `\"0s\"`: told as soon as it is raised."},
    Key{"hook", "tell_cleared", Type::boolean, true, 0, 0, {},
        "Whether it is told that an incident is cleared."},
    Key{"hook", "give_up_after", Type::seconds, "24h", kMinute, 30 * 24 * kHour, {},
        "How long a notice that cannot be delivered is tried again."},
    Key{"hook", "time_limit", Type::seconds, "10s", kSecond, kHour, {},
        "How long one attempt may take. A program and its children then get SIGTERM, 2 s later SIGKILL."},
    Key{"hook", "parallel", Type::integer, whole(4), 1, 64, {},
        "Attempts of this hook at once; further notices wait in line."},

    Key{"hook", "program", Type::path, Nothing{}, 1, kLongestPath, {},
        "exec: absolute path of an executable file; required. No shell, no search path."},
    Key{"hook", "arguments", Type::text_list, Nothing{}, 0, 64, {},
        "exec: passed to the program as they are."},
    Key{"hook", "url", Type::text, Nothing{}, 1, 2000, {},
        "webhook: where to post, `https://...`; required. `http://...` only to this machine, or with `insecure`."},
    Key{"hook", "insecure", Type::boolean, false, 0, 0, {},
        "webhook: allows `http://...` to other machines. Always a warning."},
    Key{"hook", "secret_file", Type::path, Nothing{}, 1, kLongestPath, {},
        "webhook: file that holds the secret of the signature, 16 to 255 bytes, and nothing else. Absent: notices are not signed, which is a warning."},
    Key{"hook", "server", Type::address, Nothing{}, 1, 253, {},
        "mail, syslog: the server; required."},
    Key{"hook", "port", Type::integer, Nothing{}, 1, 65535, {},
        "mail, syslog: its port. Absent: 587, 465 for mail over `\"tls\"`, 25 for mail with `security = \"none\"`; 514, or 6514 for syslog over `\"tls\"`."},
    Key{"hook", "security", Type::word, "starttls", 0, 0, kSecurities,
        "mail: how the way to the server is protected. `\"none\"` is a warning, and takes no user, unless the server is this machine."},
    Key{"hook", "user", Type::text, Nothing{}, 1, 255, {},
        "mail: whom to log in as; absent: nobody logs in."},
    Key{"hook", "password_file", Type::path, Nothing{}, 1, kLongestPath, {},
        "mail: file that holds the user's password, 1 to 255 bytes, and nothing else."},
    Key{"hook", "from", Type::text, Nothing{}, 3, 254, {},
        "mail: address of the sender; required."},
    Key{"hook", "to", Type::text_list, Nothing{}, 1, 64, {},
        "mail: addresses of the receivers; required."},
    Key{"hook", "cc", Type::text_list, Nothing{}, 0, 64, {},
        "mail: addresses of those who get a copy."},
    Key{"hook", "transport", Type::word, "udp", 0, 0, kTransports,
        "syslog: RFC 5426 `\"udp\"`, RFC 6587 `\"tcp\"` with octet counting, or RFC 5425 `\"tls\"`."},
    Key{"hook", "facility", Type::word, "local0", 0, 0, kFacilities,
        "syslog: the facility of the messages."},
    Key{"hook", "ca_file", Type::path, Nothing{}, 1, kLongestPath, {},
        "webhook, mail, syslog: certificates, in PEM, of the authorities that the server's certificate may come from; absent: those of this machine."},

    Key{"supplier", "name", Type::name, Required{}, 1, 64, {},
        "How parts refer to the supplier."},
    Key{"supplier", "lead_days", Type::integer, whole(5), 0, 365, {},
        "Days from an order to its delivery."},
    Key{"supplier", "review_days", Type::integer, whole(7), 1, 365, {},
        "Days from one order to the next: how often somebody orders."},
    Key{"supplier", "service_level", Type::number, 0.95, 0.5, 0.999, {},
        "The chance that a part is there when it is wanted, which the stock is to give."},

    Key{"part", "number", Type::text, Required{}, 1, 64, {},
        "The maker's order number, as the devices name it in the description of their supplies."},
    Key{"part", "maker", Type::text, "", 0, 64, {},
        "Who makes it; absent: the maker of the device that uses it."},
    Key{"part", "description", Type::text, "", 0, 128, {},
        "What it is, for the order list."},
    Key{"part", "colorant", Type::text, "", 0, 64, {},
        "Its colour, for the order list."},
    Key{"part", "supplier", Type::name, Nothing{}, 1, 64, {},
        "The `[[supplier]]` that it is bought from; absent: one with the defaults above."},
    Key{"part", "pack_size", Type::integer, whole(1), 1, 1000, {},
        "How many are sold together."},
    Key{"part", "shelf_life_days", Type::integer, Nothing{}, 1, 36500, {},
        "Days for which an unused one keeps; absent: for ever."},

    Key{"task", "name", Type::name, Required{}, 1, 64, {},
        "What the task is called; one of the built-in names takes the place of that task."},
    Key{"task", "title", Type::text, Required{}, 1, 128, {},
        "What is to be done, for people."},
    Key{"task", "every_impressions", Type::integer, Nothing{}, 1, 999999, {},
        "Due after so many impressions."},
    Key{"task", "every_days", Type::integer, Nothing{}, 1, 36500, {},
        "Due after so many days; of both the first that is reached counts."},
    Key{"task", "devices", Type::name_list, Nothing{}, 0, 1024, {},
        "Names of `[[device]]` sections that need it."},
    Key{"task", "models", Type::text_list, Nothing{}, 0, 256, {},
        "Models that need it, as `frisket device` shows them; without `devices` and `models` all devices do."},
    Key{"task", "minutes", Type::integer, whole(10), 1, 480, {},
        "How long it takes."},
};
// clang-format on

constexpr std::array kSections = {
    SectionKind{"daemon", false},    SectionKind{"polling", false},    SectionKind{"notifications", false},
    SectionKind{"store", false},     SectionKind{"rules", false},      SectionKind{"site", true},
    SectionKind{"credential", true}, SectionKind{"device", true},      SectionKind{"spooler", true},
    SectionKind{"queue", true},      SectionKind{"maintenance", true}, SectionKind{"hook", true},
    SectionKind{"supplier", true},   SectionKind{"part", true},        SectionKind{"task", true},
};

std::string number_text(double value) {
  char text[32];
  const auto end = std::to_chars(text, text + sizeof text, value).ptr;
  return {text, end};
}

std::string milliseconds_text(double value) {
  return '"' + duration_text(Milliseconds{static_cast<std::int64_t>(value)}) + '"';
}

std::string entries_text(const Key& key, std::string_view of) {
  return number_text(key.least) + " to " + number_text(key.most) + " " + std::string(of);
}

}  // namespace

std::span<const Key> all_keys() { return kKeys; }

std::span<const Key> keys_of(std::string_view section) {
  const auto first = std::ranges::find(kKeys, section, &Key::section);
  const auto last = std::find_if(first, kKeys.end(), [&](const Key& key) { return key.section != section; });
  return {first, last};
}

std::span<const SectionKind> top_sections() { return kSections; }

std::string allowed(const Key& key) {
  switch (key.type) {
    case Type::text:
    case Type::secret:
      return "one line of " + number_text(key.least) + " to " + number_text(key.most) + " bytes";
    case Type::name:
      return "1 to 64 letters, digits, '.', '-' and '_'";
    case Type::word:
      return any_of(key.words);
    case Type::address:
      return "an IP address of one machine, or a host name";
    case Type::endpoint:
      return "an IP address and a port, such as \"127.0.0.1:9640\" or \"[::1]:9640\"";
    case Type::listener:
      return "empty, or an IP address and a port, such as \"0.0.0.0:162\" or \"[::]:162\"";
    case Type::zone:
      return "an IANA time zone, such as \"Europe/Dublin\"";
    case Type::path:
      return "a path of at most " + number_text(key.most) + " bytes";
    case Type::boolean:
      return "true or false";
    case Type::integer:
      return "a whole number from " + number_text(key.least) + " to " + number_text(key.most);
    case Type::number:
      return "a number from " + number_text(key.least) + " to " + number_text(key.most);
    case Type::duration:
      return "a duration from " + milliseconds_text(key.least) + " to " + milliseconds_text(key.most);
    case Type::seconds:
      return "a duration of whole seconds from " + milliseconds_text(key.least) + " to " + milliseconds_text(key.most);
    case Type::name_list:
      return "a list of " + entries_text(key, "names");
    case Type::keyword_list:
      return "a list of " + entries_text(key, "keywords such as \"toner-low\"");
    case Type::text_list:
      return "a list of " + entries_text(key, "texts without NUL, each at most 4096 bytes");
  }
  return {};
}

std::string fallback_text(const Key& key) {
  if (key.required()) return "required";
  if (const auto* value = std::get_if<bool>(&key.fallback)) return *value ? "true" : "false";
  if (const auto* value = std::get_if<std::int64_t>(&key.fallback)) return std::to_string(*value);
  if (const auto* value = std::get_if<double>(&key.fallback)) return number_text(*value);
  if (const auto* value = std::get_if<string_view>(&key.fallback)) return '"' + std::string(*value) + '"';
  return "none";
}

std::string_view type_text(Type type) {
  switch (type) {
    case Type::boolean:
      return "boolean";
    case Type::integer:
      return "integer";
    case Type::number:
      return "number";
    case Type::name_list:
    case Type::keyword_list:
    case Type::text_list:
      return "list of strings";
    default:
      return "string";
  }
}

}  // namespace frisket::config
