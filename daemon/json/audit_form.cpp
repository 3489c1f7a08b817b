#include "daemon/json/forms.h"
#include "daemon/json/values.h"

namespace frisket::json {

Json audit_form(const model::AuditRecord& record) {
  auto detail = Json::parse(record.detail, nullptr, false);
  if (detail.is_discarded()) detail = nullptr;
  return {{"number", record.number},
          {"at", model::to_rfc3339(record.at)},
          {"who", record.who},
          {"peer", record.peer},
          {"what", record.what},
          {"target", text_or_null(record.target)},
          {"detail", std::move(detail)},
          {"outcome", to_text(record.outcome)},
          {"reason", text_or_null(record.reason)}};
}

}  // namespace frisket::json
