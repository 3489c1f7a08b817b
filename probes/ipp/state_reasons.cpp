#include "probes/ipp/state_reasons.h"

#include <algorithm>
#include <array>
#include <set>

#include "probes/model/alert_enums.h"

namespace frisket::ipp {
namespace {

using model::StateReason;
using Mark = StateReason::Mark;

constexpr std::size_t kMaxReasons = 64;

struct MarkName {
  std::string_view suffix;
  Mark mark;
};
constexpr std::array kMarks = {MarkName{"-report", Mark::report}, MarkName{"-warning", Mark::warning},
                               MarkName{"-error", Mark::error}};

// RFC 8011 section 5.4.12, where it does not agree with the labels of PrtAlertCodeTC, which PWG 5100.9
// made the other keywords of.
constexpr std::array<std::string_view, 31> kRegistered = {"other",
                                                          "connecting-to-device",
                                                          "cover-open",
                                                          "developer-low",
                                                          "developer-empty",
                                                          "door-open",
                                                          "fuser-over-temp",
                                                          "fuser-under-temp",
                                                          "input-tray-missing",
                                                          "interlock-open",
                                                          "interpreter-resource-unavailable",
                                                          "marker-supply-empty",
                                                          "marker-supply-low",
                                                          "marker-waste-almost-full",
                                                          "marker-waste-full",
                                                          "media-empty",
                                                          "media-jam",
                                                          "media-low",
                                                          "media-needed",
                                                          "moving-to-paused",
                                                          "opc-life-over",
                                                          "opc-near-eol",
                                                          "output-area-almost-full",
                                                          "output-area-full",
                                                          "output-tray-missing",
                                                          "paused",
                                                          "shutdown",
                                                          "spool-area-full",
                                                          "stopped-partly",
                                                          "toner-empty",
                                                          "toner-low"};

template <class Each>
void for_each_registered(Each each) {
  for (const auto keyword : kRegistered) each(keyword);
  for (const auto& row : model::listed<model::AlertCode>()) each(row.label);
}

// What a value of 31 characters was before it was cut, as far as one can tell.
StateReason restore(std::string_view value) {
  std::set<std::string_view> keywords;
  std::set<Mark> marks;
  for_each_registered([&](std::string_view keyword) {
    if (keyword.size() > kCutAt && keyword.starts_with(value)) {
      keywords.insert(keyword);
      marks.insert(Mark::none);
    }
    // A keyword of 31 characters or fewer, of whose mark some is left.
    if (keyword.size() > kCutAt || !value.starts_with(keyword)) return;
    const auto rest = value.substr(keyword.size());
    for (const auto& [suffix, mark] : kMarks)
      if (rest.size() < suffix.size() && rest.size() > 0 && suffix.starts_with(rest)) {
        keywords.insert(keyword);
        marks.insert(mark);
      }
  });
  StateReason reason{std::string(value), Mark::none, true};
  if (keywords.size() == 1) {
    reason.keyword = std::string(*keywords.begin());
    if (marks.size() == 1) reason.mark = *marks.begin();
    return reason;
  }
  if (!keywords.empty()) return reason;
  // Nobody's keyword: three letters of a mark are taken for it.
  for (const auto& [suffix, mark] : kMarks)
    for (std::size_t length = suffix.size() - 1; length >= 4; --length)
      if (value.ends_with(suffix.substr(0, length))) {
        reason.keyword = std::string(value.substr(0, value.size() - length));
        reason.mark = mark;
        return reason;
      }
  return reason;
}

bool is_registered(std::string_view value) {
  bool found = false;
  for_each_registered([&](std::string_view keyword) { found = found || keyword == value; });
  return found;
}

}  // namespace

std::optional<StateReason> state_reason_of(std::string_view value) {
  if (value.empty() || value == "none") return std::nullopt;
  // Some keywords end like a mark: subunit-recoverable-storage-error.
  if (is_registered(value)) return StateReason{std::string(value), Mark::none, false};
  for (const auto& [suffix, mark] : kMarks)
    if (value.size() > suffix.size() && value.ends_with(suffix))
      return StateReason{std::string(value.substr(0, value.size() - suffix.size())), mark, false};
  if (value.size() == kCutAt) return restore(value);
  return StateReason{std::string(value), Mark::none, false};
}

std::vector<StateReason> state_reasons_of(const Attribute* attribute) {
  std::vector<StateReason> out;
  if (attribute == nullptr) return out;
  for (const auto& value : attribute->texts()) {
    const auto reason = state_reason_of(value);
    if (reason && out.size() < kMaxReasons && std::ranges::find(out, *reason) == out.end()) out.push_back(*reason);
  }
  return out;
}

std::vector<std::string> job_reasons_of(const Attribute* attribute) {
  std::vector<std::string> out;
  if (attribute == nullptr) return out;
  for (const auto& value : attribute->texts())
    if (value != "none" && !value.empty() && out.size() < kMaxReasons && std::ranges::find(out, value) == out.end())
      out.push_back(value);
  return out;
}

}  // namespace frisket::ipp
