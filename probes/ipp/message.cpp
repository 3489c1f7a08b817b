#include "probes/ipp/message.h"

#include <algorithm>

namespace frisket::ipp {
namespace {

const Attribute* find_in(const std::vector<Attribute>& attributes, std::string_view name) {
  const auto found = std::ranges::find(attributes, name, &Attribute::name);
  return found != attributes.end() ? &*found : nullptr;
}

std::string utf8(const Text& value, std::size_t limit) {
  return model::decode_text(value.octets, model::Charset::utf8, limit);
}

}  // namespace

bool Collection::operator==(const Collection& other) const { return members == other.members; }

const Attribute* Collection::find(std::string_view name) const { return find_in(members, name); }

bool Attribute::operator==(const Attribute& other) const {
  return name == other.name && tag == other.tag && values == other.values;
}

std::optional<std::int32_t> Attribute::integer() const {
  if (values.empty()) return std::nullopt;
  const auto* value = std::get_if<std::int32_t>(&values.front());
  return value != nullptr ? std::optional(*value) : std::nullopt;
}

std::optional<bool> Attribute::boolean() const {
  if (values.empty()) return std::nullopt;
  const auto* value = std::get_if<bool>(&values.front());
  return value != nullptr ? std::optional(*value) : std::nullopt;
}

std::string Attribute::text(std::size_t limit) const {
  if (values.empty()) return {};
  const auto* value = std::get_if<Text>(&values.front());
  return value != nullptr ? utf8(*value, limit) : std::string();
}

std::vector<std::int32_t> Attribute::integers() const {
  std::vector<std::int32_t> out;
  for (const auto& value : values)
    if (const auto* number = std::get_if<std::int32_t>(&value)) out.push_back(*number);
  return out;
}

std::vector<std::string> Attribute::texts(std::size_t limit) const {
  std::vector<std::string> out;
  for (const auto& value : values)
    if (const auto* words = std::get_if<Text>(&value)) out.push_back(utf8(*words, limit));
  return out;
}

std::vector<std::string_view> Attribute::octets() const {
  std::vector<std::string_view> out;
  for (const auto& value : values)
    if (const auto* words = std::get_if<Text>(&value)) out.emplace_back(words->octets);
  return out;
}

const Attribute* Group::find(std::string_view name) const { return find_in(attributes, name); }

std::optional<std::int32_t> Group::integer(std::string_view name) const {
  const auto* attribute = find(name);
  return attribute != nullptr ? attribute->integer() : std::nullopt;
}

std::optional<bool> Group::boolean(std::string_view name) const {
  const auto* attribute = find(name);
  return attribute != nullptr ? attribute->boolean() : std::nullopt;
}

std::string Group::text(std::string_view name, std::size_t limit) const {
  const auto* attribute = find(name);
  return attribute != nullptr ? attribute->text(limit) : std::string();
}

std::vector<std::string> Group::texts(std::string_view name, std::size_t limit) const {
  const auto* attribute = find(name);
  return attribute != nullptr ? attribute->texts(limit) : std::vector<std::string>();
}

const Group* Message::first(GroupTag tag) const {
  const auto found = std::ranges::find(groups, tag, &Group::tag);
  return found != groups.end() ? &*found : nullptr;
}

std::vector<const Group*> Message::all(GroupTag tag) const {
  std::vector<const Group*> out;
  for (const auto& group : groups)
    if (group.tag == tag) out.push_back(&group);
  return out;
}

}  // namespace frisket::ipp
