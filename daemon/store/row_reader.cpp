#include "daemon/store/row_reader.h"

#include "daemon/store/kept_books.h"
#include "daemon/store/kept_incident.h"
#include "daemon/store/kept_snapshot.h"
#include "daemon/store/kept_values.h"

namespace frisket::store {
namespace {

model::WallTime instant_in(const SQLite::Column& column) {
  return model::WallTime(model::Milliseconds(column.getInt64()));
}

template <class E>
void read_word(const SQLite::Column& column, const char* name, E& value, Misfit& misfit) {
  const Misfit::Inside inside(misfit, name);
  Kept<E>::from(Json(column.getString()), value, misfit);
}

model::Error makes_no_sense(const char* what, const Misfit& misfit) {
  return {model::Error::Kind::invalid, std::string("reading ") + what, "", misfit.text()};
}

std::optional<double> number_in(const SQLite::Column& column) {
  return column.isNull() ? std::nullopt : std::optional(column.getDouble());
}

}  // namespace

model::Result<incidents::Notice> notice_of(SQLite::Statement& row) {
  Misfit misfit;
  incidents::Notice notice;
  notice.id = row.getColumn(0).getString();
  notice.number = static_cast<std::uint64_t>(row.getColumn(1).getInt64());
  notice.hook = row.getColumn(2).getString();
  notice.incident = row.getColumn(3).getString();
  read_word(row.getColumn(4), "reason", notice.reason, misfit);
  notice.at = instant_in(row.getColumn(5));
  notice.due = instant_in(row.getColumn(6));
  read_word(row.getColumn(7), "state", notice.state, misfit);
  notice.attempts = row.getColumn(8).getInt();
  notice.trouble = row.getColumn(9).getString();
  notice.body = row.getColumn(10).getString();
  if (!misfit.none()) return makes_no_sense("a kept notice", misfit);
  return notice;
}

incidents::Replacement replacement_of(SQLite::Statement& row) {
  incidents::Replacement replacement;
  replacement.device = row.getColumn(0).getString();
  replacement.supply = row.getColumn(1).getInt();
  replacement.description = row.getColumn(2).getString();
  replacement.colorant = row.getColumn(3).getString();
  replacement.at = instant_in(row.getColumn(4));
  replacement.percent_before = number_in(row.getColumn(5));
  replacement.percent_after = number_in(row.getColumn(6));
  const auto impressions = row.getColumn(7);
  if (!impressions.isNull()) replacement.impressions = static_cast<std::uint64_t>(impressions.getInt64());
  return replacement;
}

model::Result<incidents::Transition> transition_of(SQLite::Statement& row) {
  Misfit misfit;
  incidents::Transition transition;
  read_word(row.getColumn(0), "what", transition.what, misfit);
  transition.at = instant_in(row.getColumn(1));
  if (!misfit.none()) return makes_no_sense("a kept transition", misfit);
  auto incident = incident_from(row.getColumn(2).getString());
  if (!incident) return incident.error();
  transition.incident = std::move(*incident);
  return transition;
}

model::Result<model::DeviceReading> reading_of(SQLite::Statement& row) {
  Misfit misfit;
  model::DeviceReading reading;
  reading.device = row.getColumn(0).getString();
  reading.at = instant_in(row.getColumn(1));
  read_word(row.getColumn(2), "reach", reading.reach, misfit);
  reading.detail = row.getColumn(3).getString();
  if (!misfit.none()) return makes_no_sense("a kept reading", misfit);
  const auto body = row.getColumn(4);
  if (body.isNull()) return reading;
  auto snapshot = snapshot_from(body.getString());
  if (!snapshot) return snapshot.error();
  reading.snapshot = std::make_shared<const model::DeviceSnapshot>(std::move(*snapshot));
  return reading;
}

model::Result<AuditRecord> audit_of(SQLite::Statement& row) {
  Misfit misfit;
  AuditRecord record;
  record.number = static_cast<std::uint64_t>(row.getColumn(0).getInt64());
  record.at = instant_in(row.getColumn(1));
  record.who = row.getColumn(2).getString();
  record.peer = row.getColumn(3).getString();
  record.what = row.getColumn(4).getString();
  record.target = row.getColumn(5).getString();
  record.detail = row.getColumn(6).getString();
  read_word(row.getColumn(7), "outcome", record.outcome, misfit);
  record.reason = row.getColumn(8).getString();
  if (!misfit.none()) return makes_no_sense("a line of the audit trail", misfit);
  return record;
}

upkeep::PastIncident past_incident_of(SQLite::Statement& row) {
  upkeep::PastIncident incident;
  incident.device = row.getColumn(0).getString();
  incident.kind = row.getColumn(1).getString();
  incident.down = row.getColumn(2).getString() == to_text(model::Severity::critical);
  incident.from = instant_in(row.getColumn(3));
  if (const auto cleared_at = row.getColumn(4); !cleared_at.isNull()) incident.to = instant_in(cleared_at);
  incident.place = row.getColumn(5).getString();
  return incident;
}

upkeep::StockLevel stock_of(SQLite::Statement& row) {
  return {row.getColumn(0).getString(), {row.getColumn(1).getInt(), row.getColumn(2).getInt()}};
}

upkeep::ServiceDone done_of(SQLite::Statement& row) {
  return {row.getColumn(0).getString(), row.getColumn(1).getString(), instant_in(row.getColumn(2)),
          row.getColumn(3).getString(), row.getColumn(4).getString()};
}

model::Result<upkeep::Complaint> complaint_of(SQLite::Statement& row) {
  upkeep::Complaint complaint;
  complaint.id = row.getColumn(0).getString();
  complaint.device = row.getColumn(1).getString();
  complaint.symptom = row.getColumn(2).getString();
  complaint.at = instant_in(row.getColumn(3));
  complaint.by = row.getColumn(4).getString();
  complaint.note = row.getColumn(5).getString();
  auto known = known_from(row.getColumn(6).getString());
  if (!known) return known.error();
  complaint.known = std::move(*known);
  complaint.cause = row.getColumn(7).getString();
  if (const auto closed_at = row.getColumn(8); !closed_at.isNull()) complaint.closed_at = instant_in(closed_at);
  return complaint;
}

}  // namespace frisket::store
