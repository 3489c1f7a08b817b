// Optional values as JSON: the value, or null where nothing is known.
#pragma once

#include <cmath>
#include <optional>
#include <string>

#include "daemon/json/forms.h"
#include "probes/model/time.h"

namespace frisket::json {

template <class T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json();
}

// An empty text means "not said" in the model.
inline Json text_or_null(const std::string& text) { return text.empty() ? Json() : Json(text); }

inline Json time_or_null(const std::optional<model::WallTime>& instant) {
  return instant ? Json(model::to_rfc3339(*instant)) : Json();
}

// Rounded to one decimal: more would claim what no device measures.
inline Json percent_or_null(const std::optional<double>& percent) {
  return percent ? Json(std::round(*percent * 10.0) / 10.0) : Json();
}

}  // namespace frisket::json
