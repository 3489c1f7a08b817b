#include "daemon/http/body_members.h"

#include <algorithm>

#include "daemon/incidents/incident.h"
#include "probes/model/ascii.h"

namespace frisket::http {

using nlohmann::json;

model::Error wrong_body(std::string what) {
  return {model::Error::Kind::invalid, "reading the body", "", std::move(what)};
}

model::Result<json> body_of(const Request& request, std::initializer_list<std::string_view> members) {
  auto body = json::parse(request.body, nullptr, false);
  if (!body.is_object()) return wrong_body("the body is no JSON object");
  for (const auto& [name, value] : body.items()) {
    if (std::ranges::find(members, name) != members.end()) continue;
    std::string allowed;
    for (const auto member : members) allowed.append(allowed.empty() ? "" : ", ").append(member);
    return wrong_body("the body has a member that means nothing here; allowed: " + allowed);
  }
  return body;
}

model::Result<std::string> text_in(const json& body, const char* name) {
  const auto found = body.find(name);
  if (found == body.end() || found->is_null()) return std::string();
  if (!found->is_string()) return wrong_body(std::string(name) + " must be a text");
  auto text = found->get<std::string>();
  if (text.size() > incidents::kLongestSaying)
    return wrong_body(std::string(name) + " is longer than " + std::to_string(incidents::kLongestSaying) + " bytes");
  if (model::has_control_characters(text)) return wrong_body(std::string(name) + " contains control characters");
  return text;
}

model::Result<bool> flag_in(const json& body, const char* name) {
  const auto found = body.find(name);
  if (found == body.end() || found->is_null()) return false;
  if (!found->is_boolean()) return wrong_body(std::string(name) + " must be true or false");
  return found->get<bool>();
}

}  // namespace frisket::http
