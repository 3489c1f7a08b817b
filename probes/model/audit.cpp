#include "probes/model/audit.h"

#include "probes/model/text.h"

namespace frisket::model {

std::string_view to_text(AuditRecord::Outcome outcome) {
  switch (outcome) {
    case AuditRecord::Outcome::done:
      return "done";
    case AuditRecord::Outcome::refused:
      return "refused";
    case AuditRecord::Outcome::failed:
      return "failed";
  }
  return "";
}

AuditRecord bounded(AuditRecord record) {
  for (auto* text : {&record.who, &record.peer, &record.what, &record.target, &record.reason})
    *text = decode_text(*text, Charset::utf8);
  if (record.detail.size() > kMostAuditDetail || !is_utf8(record.detail))
    record.detail = R"({"left_out_bytes":)" + std::to_string(record.detail.size()) + '}';
  return record;
}

}  // namespace frisket::model
