#include "daemon/http/test_prints.h"

namespace frisket::http {

std::string_view to_text(TestVerdict verdict) {
  switch (verdict) {
    case TestVerdict::printed:
      return "printed";
    case TestVerdict::completed_uncounted:
      return "completed-uncounted";
    case TestVerdict::stopped:
      return "stopped";
    case TestVerdict::aborted:
      return "aborted";
    case TestVerdict::canceled:
      return "canceled";
    case TestVerdict::timed_out:
      return "timed-out";
    case TestVerdict::not_taken:
      return "not-taken";
  }
  return "";
}

std::string_view to_text(TestPrintOutcome::Way way) {
  switch (way) {
    case TestPrintOutcome::Way::own_service:
      return "own-service";
    case TestPrintOutcome::Way::queue:
      return "queue";
    case TestPrintOutcome::Way::raw_port:
      return "raw-port";
  }
  return "";
}

}  // namespace frisket::http
