// Reading JSON that somebody else wrote, without ever trusting its shape.
//
// A Fields looks at one object. What is missing or null reads as empty; what is there but
// of the wrong kind is noted in the Shape, once, and reads as empty too: decode everything
// first, then ask the Shape. Every text that comes out is inert (display.h). Pure; one thread.
#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "probes/model/result.h"
#include "probes/model/severity.h"
#include "probes/model/time.h"

namespace frisket::client {

// Keeps the order of the fields as served.
using Json = nlohmann::ordered_json;

// What a series has at an instant; nothing: not known.
struct Point {
  model::WallTime at;
  std::optional<double> value;
};

// Bounds for what is taken in: deeper nesting, or objects with more fields, are nonsense.
inline constexpr int kMaxDepth = 32;
inline constexpr std::size_t kMaxFields = 2000;

// Kind nonsense: not JSON, or beyond the bounds.
model::Result<Json> parse_json(std::string_view text);

// The first thing found wrong in one answer.
class Shape {
 public:
  void wrong(const std::string& where, const std::string& what);

  // Kind nonsense, "/items/3/name is a number where a text belongs"; nothing while all is well.
  const std::optional<model::Error>& error() const { return error_; }

 private:
  std::optional<model::Error> error_;
};

class Fields {
 public:
  // `where` is the JSON pointer (RFC 6901) of `value` in its answer. Value and shape must outlive the Fields.
  Fields(const Json& value, std::string where, Shape& shape);

  std::string text(const char* key) const;
  std::optional<double> number(const char* key) const;
  std::optional<std::int64_t> whole(const char* key) const;
  std::optional<bool> flag(const char* key) const;
  std::optional<model::WallTime> moment(const char* key) const;
  std::optional<model::Severity> severity(const char* key) const;
  std::vector<std::string> texts(const char* key) const;
  std::vector<Fields> objects(const char* key) const;
  // Of an array of [time, number or null].
  std::vector<Point> points(const char* key) const;
  // Of an object of nothing but true and false; its keys are inert.
  std::vector<std::pair<std::string, bool>> flags(const char* key) const;
  Fields object(const char* key) const;  // of an empty object where there is none
  bool has(const char* key) const { return find(key) != nullptr; }

  // Notes that the answer makes no sense without this field.
  void require(const char* key) const;

 private:
  const Json* find(const char* key) const;  // null for a missing or null field
  void wrong(const char* key, const Json& found, const char* expected) const;

  const Json* value_;
  std::string where_;
  Shape* shape_;
};

// The decoded value, unless something was wrong with the answer's shape.
template <class T>
model::Result<T> checked(T value, const Shape& shape) {
  if (shape.error()) return *shape.error();
  return value;
}

// Decodes an answer that is one object.
template <class T, class Decode>
model::Result<T> object_of(const Json& answer, Decode decode) {
  Shape shape;
  return checked<T>(decode(Fields(answer, "", shape)), shape);
}

// Decodes each of a list's items: {"items": [...]}.
template <class T, class Decode>
model::Result<std::vector<T>> items_of(const Json& list, Decode decode) {
  Shape shape;
  const Fields fields(list, "", shape);
  fields.require("items");
  std::vector<T> out;
  for (const Fields& item : fields.objects("items")) out.push_back(decode(item));
  return checked(std::move(out), shape);
}

}  // namespace frisket::client
