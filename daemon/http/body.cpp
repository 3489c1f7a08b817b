#include "daemon/http/body.h"

#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>

#include "config/syntax.h"
#include "probes/model/ascii.h"

namespace frisket::http {
namespace {

using incidents::OperatorState;
using nlohmann::json;

model::Error wrong(std::string what) { return {model::Error::Kind::invalid, "reading the body", "", std::move(what)}; }

// A member's text; empty where there is none.
model::Result<std::string> text_in(const json& body, const char* name) {
  const auto found = body.find(name);
  if (found == body.end() || found->is_null()) return std::string();
  if (!found->is_string()) return wrong(std::string(name) + " must be a text");
  auto text = found->get<std::string>();
  if (text.size() > incidents::kLongestSaying)
    return wrong(std::string(name) + " is longer than " + std::to_string(incidents::kLongestSaying) + " bytes");
  if (model::has_control_characters(text)) return wrong(std::string(name) + " contains control characters");
  return text;
}

model::Result<std::optional<model::WallTime>> end_in(const json& body, model::WallTime now) {
  const auto until = text_in(body, "until");
  const auto span = text_in(body, "for");
  if (!until) return until.error();
  if (!span) return span.error();
  if (!until->empty() && !span->empty()) return wrong("until and for exclude each other");
  if (until->empty() && span->empty()) return std::optional<model::WallTime>();
  if (!until->empty()) {
    const auto time = model::from_rfc3339(*until);
    if (!time) return wrong("until is no time as of RFC 3339, such as 2026-11-26T17:00:00Z");
    return time;
  }
  const auto length = config::parse_duration(*span);
  if (!length) return wrong("for is no duration such as 90m, 8h or 72h");
  return std::optional(now + *length);
}

}  // namespace

bool has_json(const Request& request) {
  const auto type = request.content_type.substr(0, request.content_type.find(';'));
  std::string word;
  for (const char c : type)
    if (c != ' ' && c != '\t') word += model::lower_case(c);
  return word == "application/json";
}

model::Result<incidents::OperatorAction> action_from(const Request& request, OperatorState state) {
  const auto body = json::parse(request.body, nullptr, false);
  if (!body.is_object()) return wrong("the body is no JSON object");
  constexpr std::array<std::string_view, 4> kMembers = {"by", "note", "until", "for"};
  for (const auto& [name, value] : body.items())
    if (std::ranges::find(kMembers, name) == kMembers.end())
      return wrong("the body has a member that means nothing here; allowed: by, note, until, for");
  incidents::OperatorAction action;
  action.at = request.now;
  action.state = state;
  auto by = text_in(body, "by");
  if (!by) return by.error();
  auto note = text_in(body, "note");
  if (!note) return note.error();
  auto until = end_in(body, request.now);
  if (!until) return until.error();
  if (by->empty()) return wrong("by must name who says it");
  if (state == OperatorState::shelved && !*until) return wrong("shelving needs an end: until or for");
  if (state != OperatorState::shelved && *until) return wrong("only shelving has an end");
  action.by = std::move(*by);
  action.note = std::move(*note);
  action.until = *until;
  return action;
}

}  // namespace frisket::http
