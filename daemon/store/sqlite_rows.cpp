#include "daemon/store/sqlite_rows.h"

#include <algorithm>
#include <limits>

#include "daemon/store/attempt.h"
#include "daemon/store/backup.h"
#include "daemon/store/connection.h"
#include "daemon/store/history_rows.h"
#include "daemon/store/kept_incident.h"
#include "daemon/store/kept_memory.h"
#include "daemon/store/row_reader.h"
#include "daemon/store/row_writer.h"
#include "daemon/upkeep/weeks.h"

namespace frisket::store {
namespace {

using model::Done;
using model::Result;

constexpr std::size_t kMostFindings = 20;

std::int64_t count_of(model::WallTime instant) { return instant.time_since_epoch().count(); }

std::string select(const char* columns, const char* rest) { return std::string("SELECT ") + columns + " " + rest; }

class SqliteHistory final : public HistorySource {
 public:
  SqliteHistory(std::filesystem::path file, std::unique_ptr<SQLite::Database> database)
      : file_(std::move(file)), database_(std::move(database)) {}

  // A week that cannot be read is a finding of the store's, which reads it too.
  Result<upkeep::Changes> history(const std::string& device, model::WallTime since) override {
    return attempt("reading the history", file_.string(), [&]() -> Result<upkeep::Changes> {
      return HistoryRows(*database_).read(device, since, [](const model::Error&) {});
    });
  }

  Result<std::vector<upkeep::PastIncident>> incidents_since(model::WallTime since) override {
    return attempt("reading the incidents", file_.string(), [&]() -> Result<std::vector<upkeep::PastIncident>> {
      SQLite::Statement query(
          *database_,
          select(kPastIncidentColumns,
                 "FROM incidents WHERE device IS NOT NULL AND (cleared_at IS NULL OR cleared_at >= ?) ORDER BY id"));
      query.bind(1, count_of(since));
      std::vector<upkeep::PastIncident> found;
      while (query.executeStep()) found.push_back(past_incident_of(query));
      return found;
    });
  }

 private:
  std::filesystem::path file_;
  std::unique_ptr<SQLite::Database> database_;
};

}  // namespace

SqliteStore::SqliteStore(std::filesystem::path file, std::unique_ptr<SQLite::Database> database)
    : file_(std::move(file)), database_(std::move(database)) {}

Result<Done> SqliteStore::write(const Batch& batch) {
  return attempt("writing to the store", file_.string(), [&]() -> Result<Done> {
    SQLite::Transaction transaction(*database_, SQLite::TransactionBehavior::IMMEDIATE);
    RowWriter(*database_).write(batch);
    transaction.commit();
    return Done{};
  });
}

Result<incidents::CorrelatorMemory> SqliteStore::memory() {
  return attempt("reading the memory", file_.string(), [&]() -> Result<incidents::CorrelatorMemory> {
    SQLite::Transaction whole(*database_);  // all of one instant
    incidents::CorrelatorMemory memory;
    memory.last_id = counter("last_id");
    static const std::string kNewest =
        "SELECT id, body FROM incidents WHERE state = 'raised' OR id IN (SELECT id FROM incidents WHERE state = "
        "'cleared' ORDER BY coalesce(cleared_at, changed_at) DESC, id DESC LIMIT " +
        std::to_string(incidents::kClearedKept) + ") ORDER BY id";
    add_incidents(kNewest.c_str(), memory.incidents);
    add_devices(memory.devices);
    return memory;
  });
}

Result<std::vector<incidents::Notice>> SqliteStore::outbox() {
  return attempt("reading the outbox", file_.string(), [&]() -> Result<std::vector<incidents::Notice>> {
    SQLite::Statement query(
        *database_, select(kNoticeColumns,
                           "FROM notices WHERE state IN ('waiting', 'parked') OR (state = 'delivered' AND incident IN "
                           "(SELECT id FROM incidents WHERE state = 'raised')) ORDER BY number, id"));
    return rows(query, notice_of);
  });
}

Result<std::uint64_t> SqliteStore::last_notice_number() {
  return attempt("reading the outbox", file_.string(),
                 [&]() -> Result<std::uint64_t> { return counter("last_notice_number"); });
}

Result<std::vector<incidents::Replacement>> SqliteStore::replacements(const std::string& device) {
  return attempt("reading the replacements", file_.string(), [&]() -> Result<std::vector<incidents::Replacement>> {
    SQLite::Statement query(*database_,
                            select(kReplacementColumns, "FROM replacements WHERE device = ? ORDER BY at, number"));
    query.bind(1, device);
    std::vector<incidents::Replacement> found;
    while (query.executeStep()) found.push_back(replacement_of(query));
    return found;
  });
}

Result<std::vector<incidents::Transition>> SqliteStore::transitions_since(model::WallTime since) {
  return attempt("reading the transitions", file_.string(), [&]() -> Result<std::vector<incidents::Transition>> {
    SQLite::Statement query(
        *database_, select(kTransitionColumns, "FROM transitions WHERE what = 'raised' AND at >= ? ORDER BY number"));
    query.bind(1, count_of(since));
    return rows(query, transition_of);
  });
}

Result<std::vector<model::DeviceReading>> SqliteStore::readings_since(model::WallTime since) {
  return attempt("reading the kept readings", file_.string(), [&]() -> Result<std::vector<model::DeviceReading>> {
    SQLite::Statement query(*database_, select(kReadingColumns, "FROM readings WHERE at >= ? ORDER BY at, number"));
    query.bind(1, count_of(since));
    return rows(query, reading_of);
  });
}

Result<std::vector<AuditRecord>> SqliteStore::audit(const model::AuditWindow& window) {
  return attempt("reading the audit trail", file_.string(), [&]() -> Result<std::vector<AuditRecord>> {
    SQLite::Statement query(*database_,
                            select(kAuditColumns, "FROM audit WHERE number < ? ORDER BY number DESC LIMIT ?"));
    query.bind(
        1, window.before == 0 ? std::numeric_limits<std::int64_t>::max() : static_cast<std::int64_t>(window.before));
    query.bind(2, static_cast<std::int64_t>(window.limit));
    return rows(query, audit_of);
  });
}

Result<std::vector<std::string>> SqliteStore::history_devices() {
  return attempt("reading the history", file_.string(),
                 [&]() -> Result<std::vector<std::string>> { return HistoryRows(*database_).devices(); });
}

Result<upkeep::Changes> SqliteStore::history(const std::string& device, model::WallTime since) {
  return attempt("reading the history", file_.string(), [&]() -> Result<upkeep::Changes> {
    return HistoryRows(*database_).read(device, since, [&](const model::Error& why) {
      leave_out("a week of the history of " + device, why);
    });
  });
}

// A connection of its own: SQLite lets one thread read while another writes (WAL).
Result<std::unique_ptr<HistorySource>> SqliteStore::history_source() {
  return attempt("reading the history", file_.string(), [&]() -> Result<std::unique_ptr<HistorySource>> {
    auto database = std::make_unique<SQLite::Database>(file_.string(), SQLite::OPEN_READONLY, kBusyMilliseconds);
    return std::unique_ptr<HistorySource>(std::make_unique<SqliteHistory>(file_, std::move(database)));
  });
}

Result<upkeep::Books> SqliteStore::books() {
  return attempt("reading what was told of upkeep", file_.string(), [&]() -> Result<upkeep::Books> {
    SQLite::Transaction whole(*database_);
    upkeep::Books books;
    SQLite::Statement stock(*database_, select(kStockColumns, "FROM stock"));
    while (stock.executeStep()) {
      const auto level = stock_of(stock);
      books.stock[level.part] = level.stock;
    }
    SQLite::Statement done(*database_, select(kDoneColumns, "FROM service_done ORDER BY at, number"));
    while (done.executeStep()) books.done.push_back(done_of(done));
    SQLite::Statement complaints(*database_,
                                 select(kComplaintColumns, "FROM complaints ORDER BY at DESC, id DESC LIMIT ?"));
    complaints.bind(1, static_cast<std::int64_t>(kComplaintsKept));
    books.complaints = rows(complaints, complaint_of);
    std::ranges::reverse(books.complaints);
    return books;
  });
}

Result<std::optional<model::WallTime>> SqliteStore::watched_until() {
  return attempt("reading the history", file_.string(), [&]() -> Result<std::optional<model::WallTime>> {
    const auto count = counter(kWatchedUntil);
    if (count == 0) return std::optional<model::WallTime>();
    return std::optional(model::WallTime{model::Milliseconds{static_cast<std::int64_t>(count)}});
  });
}

Result<Done> SqliteStore::forget(const Retention& retention, model::WallTime now) {
  return attempt("forgetting what is old", file_.string(), [&]() -> Result<Done> {
    const auto run = [&](const char* sql, model::WallTime before) {
      SQLite::Statement statement(*database_, sql);
      statement.bind(1, count_of(before));
      statement.exec();
    };
    SQLite::Transaction transaction(*database_, SQLite::TransactionBehavior::IMMEDIATE);
    run("DELETE FROM notices WHERE state <> 'waiting' AND max(at, due) < ?"
        " AND incident NOT IN (SELECT id FROM incidents WHERE state = 'raised')",
        now - retention.notices);
    run("DELETE FROM incidents WHERE state = 'cleared' AND coalesce(cleared_at, changed_at) < ?",
        now - retention.incidents);  // their transitions go with them
    run("DELETE FROM readings WHERE at < ?", now - retention.readings);
    run("DELETE FROM audit WHERE at < ?", now - retention.audit);
    HistoryRows history(*database_);
    history.forget_before(now - retention.history);
    history.thin_before(now - upkeep::kThinnedAfter);
    transaction.commit();
    return Done{};
  });
}

Result<Done> SqliteStore::back_up(const std::filesystem::path& to) { return backup_database(file_, to); }

std::vector<std::string> SqliteStore::take_findings() { return std::exchange(findings_, {}); }

std::uint64_t SqliteStore::counter(const char* name) {
  SQLite::Statement query(*database_, "SELECT value FROM counters WHERE name = ?");
  query.bind(1, name);
  return query.executeStep() ? static_cast<std::uint64_t>(query.getColumn(0).getInt64()) : 0;
}

void SqliteStore::add_incidents(const char* sql, std::vector<incidents::Incident>& to) {
  SQLite::Statement query(*database_, sql);
  while (query.executeStep()) {
    auto incident = incident_from(query.getColumn(1).getString());
    if (incident)
      to.push_back(std::move(*incident));
    else
      leave_out("the incident " + query.getColumn(0).getString(), incident.error());
  }
}

void SqliteStore::add_devices(std::map<std::string, incidents::DeviceMemory>& to) {
  SQLite::Statement query(*database_, "SELECT name, body FROM devices ORDER BY name");
  while (query.executeStep()) {
    auto memory = memory_from(query.getColumn(1).getString());
    if (memory)
      to[query.getColumn(0).getString()] = std::move(*memory);
    else
      leave_out("the memory of " + query.getColumn(0).getString(), memory.error());
  }
}

void SqliteStore::leave_out(const std::string& row, const model::Error& why) {
  if (findings_.size() < kMostFindings) findings_.push_back(row + " was left out: " + why.text());
}

template <class T>
std::vector<T> SqliteStore::rows(SQLite::Statement& query, Result<T> (*read)(SQLite::Statement&)) {
  std::vector<T> found;
  while (query.executeStep()) {
    auto value = read(query);
    if (value)
      found.push_back(std::move(*value));
    else
      leave_out("a row", value.error());
  }
  return found;
}

}  // namespace frisket::store
