#include "daemon/store/misfit.h"

namespace frisket::store {

void Misfit::note(std::string_view what) {
  if (!text_.empty()) return;
  for (const auto& step : way_) text_ += (text_.empty() ? "" : ", ") + step;
  if (text_.empty()) text_ = "the whole";
  text_ += " ";
  text_ += what;
}

Json parsed(std::string_view text, Misfit& misfit) {
  Json json = Json::parse(text, nullptr, false);
  if (!json.is_discarded()) return json;
  misfit.note("is not JSON");
  return {};
}

}  // namespace frisket::store
