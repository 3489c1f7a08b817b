#include "daemon/http/kept_form.h"

namespace frisket::http {

KeptForm::KeptForm(const json::Json& object) : text_(std::make_shared<std::string>("," + json::text_of(object))) {
  // Texts cannot imitate the key, since their quotes are escaped.
  constexpr std::string_view kKey = "\"last_reading_at\":\"";
  if (const auto place = text_->find(kKey); place != std::string::npos) time_place_ = place + kKey.size();
}

std::span<const Member> KeptForm::members() const {
  if (members_.empty()) members_ = members_of(object());
  return members_;
}

bool KeptForm::set_last_reading(model::WallTime at) {
  if (time_place_ == 0) return false;
  const auto time = model::to_rfc3339(at);  // always of the same length
  if (text_.use_count() > 1) text_ = std::make_shared<std::string>(*text_);
  text_->replace(time_place_, time.size(), time);
  return true;
}

}  // namespace frisket::http
