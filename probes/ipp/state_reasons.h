// printer-state-reasons and job-state-reasons taken apart (RFC 8011 sections 5.3.8 and 5.4.12).
//
// Pure; any thread.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "probes/ipp/message.h"
#include "probes/model/queue.h"

namespace frisket::ipp {

// Where some printers cut a keyword (seen in the reference printer: a 32-octet buffer).
inline constexpr std::size_t kCutAt = 31;

// Splits "media-empty-warning" into keyword and mark. A value of exactly 31 characters may have been
// cut: if just one registered keyword, or one mark, begins so, it is put back. Nothing for "none" and for
// what is empty.
std::optional<model::StateReason> state_reason_of(std::string_view value);

// All of an attribute, in order, each once; at most 64.
std::vector<model::StateReason> state_reasons_of(const Attribute* attribute);
std::vector<std::string> job_reasons_of(const Attribute* attribute);

}  // namespace frisket::ipp
