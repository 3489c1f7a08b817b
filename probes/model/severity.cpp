#include "probes/model/severity.h"

#include <array>
#include <utility>

namespace frisket::model {
namespace {

constexpr std::array<std::pair<Severity, std::string_view>, 4> kSeverities = {{
    {Severity::warning, "warning"},
    {Severity::minor, "minor"},
    {Severity::major, "major"},
    {Severity::critical, "critical"},
}};

constexpr std::array<std::pair<Training, std::string_view>, 3> kTrainings = {{
    {Training::untrained, "untrained"},
    {Training::trained, "trained"},
    {Training::field_service, "field-service"},
}};

template <class Table, class Value>
std::string_view word_for(const Table& table, Value value) {
  for (const auto& [listed, word] : table)
    if (listed == value) return word;
  return {};
}

template <class Table>
auto value_for(const Table& table, std::string_view text) -> std::optional<decltype(table.front().first)> {
  for (const auto& [listed, word] : table)
    if (word == text) return listed;
  return std::nullopt;
}

}  // namespace

std::string_view to_text(Severity severity) { return word_for(kSeverities, severity); }
std::string_view to_text(Training training) { return word_for(kTrainings, training); }
std::optional<Severity> severity_from(std::string_view text) { return value_for(kSeverities, text); }
std::optional<Training> training_from(std::string_view text) { return value_for(kTrainings, text); }

}  // namespace frisket::model
