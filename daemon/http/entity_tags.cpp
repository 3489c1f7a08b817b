#include "daemon/http/entity_tags.h"

#include <algorithm>

namespace frisket::http {
namespace {

void set_field(Response& response, std::string_view name, std::string value) {
  for (auto& [key, known] : response.fields)
    if (key == name) {
      known = std::move(value);
      return;
    }
  response.fields.emplace_back(name, std::move(value));
}

std::string_view without_weakness(std::string_view tag) {
  if (tag.starts_with("W/")) tag.remove_prefix(2);
  return tag;
}

void skip(std::string_view& rest, std::string_view octets) {
  rest.remove_prefix(std::min(rest.find_first_not_of(octets), rest.size()));
}

// One entity-tag off the front: [ W/ ] DQUOTE *etagc DQUOTE. Empty: there is none.
std::string_view take_tag(std::string_view& rest) {
  const auto begin = rest.starts_with("W/\"") ? 3U : rest.starts_with('"') ? 1U : 0U;
  const auto end = begin == 0 ? rest.npos : rest.find('"', begin);
  if (end == rest.npos) return {};
  const auto tag = rest.substr(0, end + 1);
  rest.remove_prefix(end + 1);
  return tag;
}

bool field_names(std::string_view field, std::string_view tag) {
  skip(field, " \t");
  if (field.substr(0, field.find_last_not_of(" \t") + 1) == "*") return true;
  // A list may have empty elements (RFC 9110 section 5.6.1.2).
  for (skip(field, " \t,"); !field.empty(); skip(field, " \t,")) {
    const auto candidate = take_tag(field);
    if (candidate.empty()) return false;
    if (without_weakness(candidate) == without_weakness(tag)) return true;
  }
  return false;
}

}  // namespace

Response tagged(Response response, std::string tag) {
  set_field(response, "ETag", std::move(tag));
  set_field(response, "Cache-Control", "private, no-cache");
  return response;
}

bool names_tag(std::span<const std::string> if_none_match, std::string_view tag) {
  return std::ranges::any_of(if_none_match, [&](const auto& field) { return field_names(field, tag); });
}

Response unless_known(Response response, std::span<const std::string> if_none_match) {
  const auto tag = response.field("ETag");
  if (response.status != 200 || !tag || !names_tag(if_none_match, *tag)) return response;
  response.status = 304;
  response.body = {};
  std::erase_if(response.fields, [](const auto& field) { return field.first == "Content-Type"; });
  return response;
}

}  // namespace frisket::http
