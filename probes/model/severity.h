// How bad an incident is, and who can mend it: the standards' words.
//
// Severity is ITU-T X.733's, as RFC 8632 section 3 uses it; three numberings exist, so no
// number ever leaves the program, only the word. Training is RFC 3805's
// prtAlertTrainingLevel, reduced to the three that send somebody. Pure; any thread.
#pragma once

#include <optional>
#include <string_view>

namespace frisket::model {

// In rising order, so that comparison means "worse than".
enum class Severity { warning, minor, major, critical };
enum class Training { untrained, trained, field_service };

std::string_view to_text(Severity severity);  // "warning" ... "critical"
std::string_view to_text(Training training);  // "untrained", "trained", "field-service"

std::optional<Severity> severity_from(std::string_view text);
std::optional<Training> training_from(std::string_view text);

}  // namespace frisket::model
