#include "probes/ipp/names.h"

#include <algorithm>
#include <array>
#include <cstdio>

namespace frisket::ipp {
namespace {

struct StatusName {
  std::int16_t code;
  std::string_view word;
};

// RFC 8011 appendix B, RFC 3995 sections 12 and 13, RFC 3996 section 10; in order of code.
constexpr std::array kStatus = {
    StatusName{0x0000, "successful-ok"},
    StatusName{0x0001, "successful-ok-ignored-or-substituted-attributes"},
    StatusName{0x0002, "successful-ok-conflicting-attributes"},
    StatusName{0x0003, "successful-ok-ignored-subscriptions"},
    StatusName{0x0005, "successful-ok-too-many-events"},
    StatusName{0x0007, "successful-ok-events-complete"},
    StatusName{0x0400, "client-error-bad-request"},
    StatusName{0x0401, "client-error-forbidden"},
    StatusName{0x0402, "client-error-not-authenticated"},
    StatusName{0x0403, "client-error-not-authorized"},
    StatusName{0x0404, "client-error-not-possible"},
    StatusName{0x0405, "client-error-timeout"},
    StatusName{0x0406, "client-error-not-found"},
    StatusName{0x0407, "client-error-gone"},
    StatusName{0x0408, "client-error-request-entity-too-large"},
    StatusName{0x0409, "client-error-request-value-too-long"},
    StatusName{0x040a, "client-error-document-format-not-supported"},
    StatusName{0x040b, "client-error-attributes-or-values-not-supported"},
    StatusName{0x040c, "client-error-uri-scheme-not-supported"},
    StatusName{0x040d, "client-error-charset-not-supported"},
    StatusName{0x040e, "client-error-conflicting-attributes"},
    StatusName{0x040f, "client-error-compression-not-supported"},
    StatusName{0x0410, "client-error-compression-error"},
    StatusName{0x0411, "client-error-document-format-error"},
    StatusName{0x0412, "client-error-document-access-error"},
    StatusName{0x0414, "client-error-ignored-all-subscriptions"},
    StatusName{0x0415, "client-error-too-many-subscriptions"},
    StatusName{0x0500, "server-error-internal-error"},
    StatusName{0x0501, "server-error-operation-not-supported"},
    StatusName{0x0502, "server-error-service-unavailable"},
    StatusName{0x0503, "server-error-version-not-supported"},
    StatusName{0x0504, "server-error-device-error"},
    StatusName{0x0505, "server-error-temporary-error"},
    StatusName{0x0506, "server-error-not-accepting-jobs"},
    StatusName{0x0507, "server-error-busy"},
    StatusName{0x0508, "server-error-job-canceled"},
    StatusName{0x0509, "server-error-multiple-document-jobs-not-supported"},
};

}  // namespace

std::string_view to_text(Operation operation) {
  switch (operation) {
    case Operation::print_job:
      return "Print-Job";
    case Operation::cancel_job:
      return "Cancel-Job";
    case Operation::get_job_attributes:
      return "Get-Job-Attributes";
    case Operation::get_jobs:
      return "Get-Jobs";
    case Operation::get_printer_attributes:
      return "Get-Printer-Attributes";
    case Operation::hold_job:
      return "Hold-Job";
    case Operation::release_job:
      return "Release-Job";
    case Operation::pause_printer:
      return "Pause-Printer";
    case Operation::resume_printer:
      return "Resume-Printer";
    case Operation::create_printer_subscriptions:
      return "Create-Printer-Subscriptions";
    case Operation::renew_subscription:
      return "Renew-Subscription";
    case Operation::cancel_subscription:
      return "Cancel-Subscription";
    case Operation::get_notifications:
      return "Get-Notifications";
    case Operation::enable_printer:
      return "Enable-Printer";
    case Operation::disable_printer:
      return "Disable-Printer";
    case Operation::cancel_jobs:
      return "Cancel-Jobs";
    case Operation::spooler_get_queues:
      return "the list of queues";
    case Operation::spooler_move_job:
      return "moving a job";
  }
  return "an operation";
}

std::string status_text(std::int16_t code) {
  const auto found = std::ranges::lower_bound(kStatus, code, {}, &StatusName::code);
  if (found != kStatus.end() && found->code == code) return std::string(found->word);
  std::array<char, 16> number{};
  std::snprintf(number.data(), number.size(), "0x%04x", static_cast<unsigned>(static_cast<std::uint16_t>(code)));
  const auto first_of_class = static_cast<std::int16_t>(code & ~0x00ff);
  const auto class_name = std::ranges::lower_bound(kStatus, first_of_class, {}, &StatusName::code);
  if (code < 0 || class_name == kStatus.end() || class_name->code != first_of_class)
    return "status " + std::string(number.data());
  return std::string(class_name->word) + " (" + number.data() + ")";
}

}  // namespace frisket::ipp
