#include "daemon/client/fields.h"

#include <array>
#include <cmath>
#include <utility>

#include "daemon/client/display.h"

namespace frisket::client {
namespace {

const Json& empty_object() {
  static const Json empty = Json::object();
  return empty;
}

// Watches a document being parsed, so that what is out of bounds is never built up: a
// tree that is too deep would overflow the stack when written, an object with very many
// fields would take forever, since its fields are kept in order and not sorted.
class Bounds {
 public:
  bool allow(int depth, Json::parse_event_t event) {
    using Event = Json::parse_event_t;
    // The depth of a start is that of what it stands in: 0 for the document itself.
    if ((event == Event::object_start || event == Event::array_start) && depth >= kMaxDepth) exceeded_ = true;
    if (exceeded_) return false;
    if (event == Event::object_start) {
      fields_.at(static_cast<std::size_t>(depth) + 1) = 0;
    } else if (event == Event::key) {
      std::size_t& count = fields_.at(static_cast<std::size_t>(depth));
      exceeded_ = ++count > kMaxFields;
    }
    return !exceeded_;
  }
  bool exceeded() const { return exceeded_; }

 private:
  std::array<std::size_t, kMaxDepth + 2> fields_{};
  bool exceeded_ = false;
};

model::Error nonsense(std::string what) {
  return {.kind = model::Error::Kind::nonsense, .doing = "reading the answer", .whom = "", .what = std::move(what)};
}

}  // namespace

model::Result<Json> parse_json(std::string_view text) {
  Bounds bounds;
  Json parsed = Json::parse(
      text, [&](int depth, Json::parse_event_t event, const Json&) { return bounds.allow(depth, event); }, false);
  if (bounds.exceeded()) return nonsense("it is nested too deeply, or has an object with too many fields");
  if (parsed.is_discarded()) return nonsense("it is not JSON");
  return parsed;
}

void Shape::wrong(const std::string& where, const std::string& what) {
  if (!error_) error_ = nonsense((where.empty() ? "the answer" : inert(where)) + " " + what);
}

Fields::Fields(const Json& value, std::string where, Shape& shape)
    : value_(&value), where_(std::move(where)), shape_(&shape) {
  if (value.is_object()) return;
  shape.wrong(where_, std::string("is ") + value.type_name() + " where an object belongs");
  value_ = &empty_object();
}

const Json* Fields::find(const char* key) const {
  const auto found = value_->find(key);
  return found == value_->end() || found->is_null() ? nullptr : &*found;
}

void Fields::wrong(const char* key, const Json& found, const char* expected) const {
  shape_->wrong(where_ + '/' + key, std::string("is ") + found.type_name() + " where " + expected + " belongs");
}

void Fields::require(const char* key) const {
  if (!has(key)) shape_->wrong(where_ + '/' + key, "is missing");
}

std::string Fields::text(const char* key) const {
  const Json* found = find(key);
  if (found == nullptr) return "";
  if (found->is_string()) return inert(found->get_ref<const std::string&>());
  wrong(key, *found, "a text");
  return "";
}

std::optional<double> Fields::number(const char* key) const {
  const Json* found = find(key);
  if (found == nullptr) return std::nullopt;
  if (found->is_number()) return found->get<double>();
  wrong(key, *found, "a number");
  return std::nullopt;
}

std::optional<std::int64_t> Fields::whole(const char* key) const {
  const std::optional<double> value = number(key);
  if (!value) return std::nullopt;
  // 2^53: what every JSON reader keeps exactly (RFC 8259 section 6).
  if (std::abs(*value) <= 9007199254740992.0 && std::trunc(*value) == *value) return static_cast<std::int64_t>(*value);
  shape_->wrong(where_ + '/' + key, "is not a whole number");
  return std::nullopt;
}

std::optional<bool> Fields::flag(const char* key) const {
  const Json* found = find(key);
  if (found == nullptr) return std::nullopt;
  if (found->is_boolean()) return found->get<bool>();
  wrong(key, *found, "true or false");
  return std::nullopt;
}

std::optional<model::WallTime> Fields::moment(const char* key) const {
  const std::string written = text(key);
  if (written.empty()) return std::nullopt;
  const auto instant = model::from_rfc3339(written);
  if (!instant) shape_->wrong(where_ + '/' + key, "is not a time (RFC 3339)");
  return instant;
}

std::optional<model::Severity> Fields::severity(const char* key) const {
  const std::string word = text(key);
  if (word.empty()) return std::nullopt;
  const auto severity = model::severity_from(word);
  if (!severity) shape_->wrong(where_ + '/' + key, "is not critical, major, minor or warning");
  return severity;
}

std::vector<std::string> Fields::texts(const char* key) const {
  std::vector<std::string> out;
  const Json* found = find(key);
  if (found == nullptr) return out;
  if (!found->is_array()) {
    wrong(key, *found, "an array");
    return out;
  }
  for (const Json& item : *found) {
    if (item.is_string()) {
      out.push_back(inert(item.get_ref<const std::string&>()));
    } else {
      wrong(key, item, "a text");
    }
  }
  return out;
}

std::vector<Fields> Fields::objects(const char* key) const {
  std::vector<Fields> out;
  const Json* found = find(key);
  if (found == nullptr) return out;
  if (!found->is_array()) {
    wrong(key, *found, "an array");
    return out;
  }
  for (std::size_t i = 0; i < found->size(); ++i)
    out.emplace_back((*found)[i], where_ + '/' + key + '/' + std::to_string(i), *shape_);
  return out;
}

std::vector<Point> Fields::points(const char* key) const {
  std::vector<Point> out;
  const Json* found = find(key);
  if (found == nullptr) return out;
  if (!found->is_array()) {
    wrong(key, *found, "an array");
    return out;
  }
  for (const Json& each : *found) {
    const bool fits =
        each.is_array() && each.size() == 2 && each[0].is_string() && (each[1].is_null() || each[1].is_number());
    const auto at = fits ? model::from_rfc3339(each[0].get_ref<const std::string&>()) : std::nullopt;
    if (!at) {
      shape_->wrong(where_ + '/' + key, "holds what is not a time with a number");
      return out;
    }
    out.push_back({*at, each[1].is_null() ? std::nullopt : std::optional(each[1].get<double>())});
  }
  return out;
}

std::vector<std::pair<std::string, bool>> Fields::flags(const char* key) const {
  std::vector<std::pair<std::string, bool>> out;
  const Json* found = find(key);
  if (found == nullptr) return out;
  if (!found->is_object()) {
    wrong(key, *found, "an object");
    return out;
  }
  for (const auto& each : found->items()) {
    if (each.value().is_boolean()) {
      out.emplace_back(inert(each.key()), each.value().get<bool>());
    } else {
      wrong(key, each.value(), "true or false");
    }
  }
  return out;
}

Fields Fields::object(const char* key) const {
  const Json* found = find(key);
  return {found == nullptr ? empty_object() : *found, where_ + '/' + key, *shape_};
}

}  // namespace frisket::client
