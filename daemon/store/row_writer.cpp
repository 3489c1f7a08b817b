#include "daemon/store/row_writer.h"

#include <algorithm>
#include <string_view>

#include "daemon/store/history_rows.h"
#include "daemon/store/kept_books.h"
#include "daemon/store/kept_incident.h"
#include "daemon/store/kept_memory.h"
#include "daemon/store/kept_snapshot.h"

namespace frisket::store {
namespace {

// Binds the values of one row in the order of its placeholders.
class Row {
 public:
  Row(SQLite::Database& database, const char* sql) : statement_(database, sql) {}

  Row& add(const std::string& text) {
    statement_.bind(++place_, text);
    return *this;
  }
  Row& add(std::string_view text) { return add(std::string(text)); }
  Row& add(std::int64_t number) {
    statement_.bind(++place_, number);
    return *this;
  }
  Row& add(std::uint64_t number) { return add(static_cast<std::int64_t>(number)); }
  Row& add(int number) { return add(std::int64_t{number}); }
  Row& add(double number) {
    statement_.bind(++place_, number);
    return *this;
  }
  Row& add(model::WallTime instant) { return add(std::int64_t{instant.time_since_epoch().count()}); }
  template <class T>
  Row& add(const std::optional<T>& value) {
    if (value) return add(*value);
    statement_.bind(++place_);  // NULL
    return *this;
  }
  void write() { statement_.exec(); }

 private:
  SQLite::Statement statement_;
  int place_ = 0;
};

}  // namespace

RowWriter::RowWriter(SQLite::Database& database) : database_(database) {}

void RowWriter::write(const Batch& batch) {
  std::uint64_t last_number = 0;
  for (const auto& change : batch.transitions) {
    incident(change.incident);
    transition(change);
  }
  for (const auto& [name, memory] : batch.devices) device(name, memory);
  for (const auto& telling : batch.notices) {
    notice(telling);
    last_number = std::max(last_number, telling.number);
  }
  for (const auto& record : batch.replacements) replacement(record);
  for (const auto& read : batch.readings) reading(read);
  for (const auto& record : batch.audit) audit(record);
  for (const auto& level : batch.stock) stock(level);
  for (const auto& task : batch.done) done(task);
  for (const auto& said : batch.complaints) complaint(said);
  if (!batch.history.empty()) HistoryRows(database_).write(batch.history);
  if (batch.watched_until)
    counter(kWatchedUntil,
            static_cast<std::uint64_t>(std::max<std::int64_t>(0, batch.watched_until->time_since_epoch().count())));
  if (last_number > 0) counter("last_notice_number", last_number);
  if (batch.last_id > 0) counter("last_id", batch.last_id);
}

// Not INSERT OR REPLACE: that deletes the old row first, and with it the transitions.
void RowWriter::incident(const incidents::Incident& incident) {
  Row row(database_,
          "INSERT INTO incidents (id, state, device, site, kind, severity, raised_at, changed_at, cleared_at, body)"
          " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (id) DO UPDATE SET state = excluded.state,"
          " device = excluded.device, site = excluded.site, kind = excluded.kind, severity = excluded.severity,"
          " raised_at = excluded.raised_at, changed_at = excluded.changed_at, cleared_at = excluded.cleared_at,"
          " body = excluded.body");
  row.add(incident.id).add(to_text(incident.state)).add(incident.device).add(incident.site).add(incident.kind);
  row.add(to_text(incident.severity)).add(incident.raised_at).add(incident.changed_at).add(incident.cleared_at);
  row.add(kept_text(incident)).write();
}

void RowWriter::transition(const incidents::Transition& transition) {
  Row row(database_, "INSERT INTO transitions (incident, what, at, body) VALUES (?, ?, ?, ?)");
  row.add(transition.incident.id).add(to_text(transition.what)).add(transition.at);
  row.add(kept_text(as_kept(transition).incident)).write();
}

void RowWriter::device(const std::string& name, const incidents::DeviceMemory& memory) {
  Row row(database_,
          "INSERT INTO devices (name, body) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET body = excluded.body");
  row.add(name).add(kept_text(memory)).write();
}

void RowWriter::notice(const incidents::Notice& notice) {
  Row row(database_,
          "INSERT OR REPLACE INTO notices (id, number, hook, incident, reason, at, due, state, attempts, trouble, body)"
          " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
  row.add(notice.id).add(notice.number).add(notice.hook).add(notice.incident).add(to_text(notice.reason));
  row.add(notice.at).add(notice.due).add(to_text(notice.state)).add(notice.attempts).add(notice.trouble);
  row.add(notice.body).write();
}

void RowWriter::replacement(const incidents::Replacement& replacement) {
  Row row(database_,
          "INSERT OR REPLACE INTO replacements (device, supply, description, colorant, at, percent_before,"
          " percent_after, impressions) VALUES (?, ?, ?, ?, ?, ?, ?, ?)");
  row.add(replacement.device).add(replacement.supply).add(replacement.description).add(replacement.colorant);
  row.add(replacement.at).add(replacement.percent_before).add(replacement.percent_after);
  row.add(replacement.impressions).write();
}

void RowWriter::reading(const model::DeviceReading& reading) {
  Row row(database_, "INSERT INTO readings (device, at, reach, detail, snapshot) VALUES (?, ?, ?, ?, ?)");
  row.add(reading.device).add(reading.at).add(to_text(reading.reach)).add(reading.detail);
  row.add(reading.snapshot ? std::optional(kept_text(*reading.snapshot)) : std::nullopt).write();
}

void RowWriter::audit(const AuditRecord& record) {
  Row row(database_,
          "INSERT INTO audit (at, who, peer, what, target, detail, outcome, reason) VALUES (?, ?, ?, ?, ?, ?, ?, ?)");
  row.add(record.at).add(record.who).add(record.peer).add(record.what).add(record.target).add(record.detail);
  row.add(to_text(record.outcome)).add(record.reason).write();
}

void RowWriter::stock(const upkeep::StockLevel& level) {
  Row row(database_,
          "INSERT INTO stock (part, on_shelf, on_order) VALUES (?, ?, ?) ON CONFLICT (part) DO UPDATE SET"
          " on_shelf = excluded.on_shelf, on_order = excluded.on_order");
  row.add(level.part).add(level.stock.on_shelf).add(level.stock.on_order).write();
}

void RowWriter::done(const upkeep::ServiceDone& done) {
  Row row(database_, "INSERT INTO service_done (device, task, at, who, note) VALUES (?, ?, ?, ?, ?)");
  row.add(done.device).add(done.task).add(done.at).add(done.by).add(done.note).write();
}

void RowWriter::complaint(const upkeep::Complaint& complaint) {
  Row row(database_,
          "INSERT INTO complaints (id, device, symptom, at, who, note, known, cause, closed_at)"
          " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (id) DO UPDATE SET device = excluded.device,"
          " symptom = excluded.symptom, at = excluded.at, who = excluded.who, note = excluded.note,"
          " known = excluded.known, cause = excluded.cause, closed_at = excluded.closed_at");
  row.add(complaint.id).add(complaint.device).add(complaint.symptom).add(complaint.at).add(complaint.by);
  row.add(complaint.note).add(kept_text(complaint.known)).add(complaint.cause).add(complaint.closed_at).write();
}

void RowWriter::counter(const std::string& name, std::uint64_t value) {
  Row row(database_,
          "INSERT INTO counters (name, value) VALUES (?, ?)"
          " ON CONFLICT (name) DO UPDATE SET value = max(value, excluded.value)");
  row.add(name).add(value).write();
}

}  // namespace frisket::store
