// printer-state-reasons as rows of the alert table, for printers that say no more than that.
//
// The way back of PWG 5100.9's mapping (keyword from prtAlertCode), so that a keyword that came
// by IPP and a row that came by SNMP are the same thing downstream. Pure; any thread.
#pragma once

#include <optional>

#include "probes/model/device.h"
#include "probes/model/queue.h"

namespace frisket::ipp {

// Nothing for what is no trouble: paused by an operator, moving, standing by, connecting.
// A state reason is so until it is taken away, which is what a binary change row promises; so a warning
// becomes warning-binary-change-event(5). A report becomes other(1).
std::optional<model::Alert> alert_of(const model::StateReason& reason, model::PrinterState state);

}  // namespace frisket::ipp
