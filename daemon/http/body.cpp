#include "daemon/http/body.h"

#include "config/syntax.h"
#include "daemon/http/body_members.h"
#include "probes/model/ascii.h"

namespace frisket::http {
namespace {

using incidents::OperatorState;
using nlohmann::json;

model::Result<std::optional<model::WallTime>> end_in(const json& body, model::WallTime now) {
  const auto until = text_in(body, "until");
  const auto span = text_in(body, "for");
  if (!until) return until.error();
  if (!span) return span.error();
  if (!until->empty() && !span->empty()) return wrong_body("until and for exclude each other");
  if (until->empty() && span->empty()) return std::optional<model::WallTime>();
  if (!until->empty()) {
    const auto time = model::from_rfc3339(*until);
    if (!time) return wrong_body("until is no time as of RFC 3339, such as 2026-11-26T17:00:00Z");
    return time;
  }
  const auto length = config::parse_duration(*span);
  if (!length) return wrong_body("for is no duration such as 90m, 8h or 72h");
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
  const auto body = body_of(request, {"by", "note", "until", "for"});
  if (!body) return body.error();
  incidents::OperatorAction action;
  action.at = request.now;
  action.state = state;
  auto by = text_in(*body, "by");
  if (!by) return by.error();
  auto note = text_in(*body, "note");
  if (!note) return note.error();
  auto until = end_in(*body, request.now);
  if (!until) return until.error();
  if (by->empty()) return wrong_body("by must name who says it");
  if (state == OperatorState::shelved && !*until) return wrong_body("shelving needs an end: until or for");
  if (state != OperatorState::shelved && *until) return wrong_body("only shelving has an end");
  action.by = std::move(*by);
  action.note = std::move(*note);
  action.until = *until;
  return action;
}

}  // namespace frisket::http
