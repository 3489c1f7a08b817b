// The numbers of IPP: operations and status codes, with the standards' words.
//
// Sources: RFC 8011 table 19 and appendix B, RFC 3995 section 7, RFC 3996 section 9 (read);
// RFC 3998 and PWG 5100.11 operations from memory; 0x4000 to 0x7fff is the vendors' range
// (RFC 8011 table 19). tests/facts/ipp-facts.tsv holds the same numbers. Constants; any thread.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace frisket::ipp {

enum class Operation : std::int16_t {
  print_job = 0x0002,
  cancel_job = 0x0008,
  get_job_attributes = 0x0009,
  get_jobs = 0x000a,
  get_printer_attributes = 0x000b,
  hold_job = 0x000c,
  release_job = 0x000d,
  pause_printer = 0x0010,
  resume_printer = 0x0011,
  create_printer_subscriptions = 0x0016,
  renew_subscription = 0x001a,
  cancel_subscription = 0x001b,
  get_notifications = 0x001c,
  enable_printer = 0x0022,
  disable_printer = 0x0023,
  cancel_jobs = 0x0038,
  // Of the spooler under watch, in the vendors' range.
  spooler_get_queues = 0x4002,
  spooler_move_job = 0x400d,
};

std::string_view to_text(Operation operation);  // "Get-Printer-Attributes"

namespace status {
inline constexpr std::int16_t ok = 0x0000;
inline constexpr std::int16_t ok_events_complete = 0x0007;
inline constexpr std::int16_t bad_request = 0x0400;
inline constexpr std::int16_t forbidden = 0x0401;
inline constexpr std::int16_t not_authenticated = 0x0402;
inline constexpr std::int16_t not_authorized = 0x0403;
inline constexpr std::int16_t not_possible = 0x0404;
inline constexpr std::int16_t not_found = 0x0406;
inline constexpr std::int16_t operation_not_supported = 0x0501;
inline constexpr std::int16_t service_unavailable = 0x0502;
inline constexpr std::int16_t version_not_supported = 0x0503;
inline constexpr std::int16_t busy = 0x0507;
}  // namespace status

// "client-error-not-found"; for a code that is not listed, the first of its class and the number
// (RFC 8011 appendix B): "client-error-bad-request (0x04ff)".
std::string status_text(std::int16_t code);

inline bool is_successful(std::int16_t code) { return code >= 0 && code < 0x0100; }

}  // namespace frisket::ipp
