// What an alert code means: its IPP keyword, and whether it lasts.
//
// PWG 5100.9 gives each PrtAlertCodeTC value (RFC 3805, IANA-PRINTER-MIB) a keyword for
// printer-state-reasons. This is that mapping and nothing more: what a generic code
// becomes beside its group is in findings.h. Pure; any thread.
#pragma once

#include <string>

#include "probes/model/alert_enums.h"

namespace frisket::incidents {

enum class Lasting {
  condition,  // so until it is mended
  event,      // happened at a point in time
};

struct CodeMeaning {
  std::string keyword;  // "alert-code-1234" for a code that no edition lists
  Lasting lasting = Lasting::condition;
  friend bool operator==(const CodeMeaning&, const CodeMeaning&) = default;
};

CodeMeaning meaning_of(model::AlertCode code);

}  // namespace frisket::incidents
