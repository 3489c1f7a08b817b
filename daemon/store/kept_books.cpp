#include "daemon/store/kept_books.h"

#include <nlohmann/json.hpp>

namespace frisket::store {

using Json = nlohmann::json;

std::string kept_text(const upkeep::Known& known) {
  return Json(known).dump(-1, ' ', false, Json::error_handler_t::replace);
}

model::Result<upkeep::Known> known_from(std::string_view text) {
  const auto told = Json::parse(text, nullptr, false);
  const model::Error nonsense{model::Error::Kind::invalid, "reading a kept complaint", "",
                              "what was observed is no object of true and false"};
  if (!told.is_object()) return nonsense;
  upkeep::Known known;
  for (const auto& [observation, so] : told.items()) {
    if (!so.is_boolean()) return nonsense;
    known[observation] = so.get<bool>();
  }
  return known;
}

}  // namespace frisket::store
