#include "daemon/store/schema.h"

#include <array>
#include <string>

namespace frisket::store {
namespace {

// Instants are milliseconds since 1970 in UTC; words are those of to_text(); a body is JSON (kept_*.h). Each
// table has a rowid: recovery goes by it.
constexpr const char* kFirst = R"sql(
CREATE TABLE counters (
  name TEXT PRIMARY KEY NOT NULL,
  value INTEGER NOT NULL
) STRICT;

CREATE TABLE incidents (
  id TEXT PRIMARY KEY NOT NULL,
  state TEXT NOT NULL,
  device TEXT,
  site TEXT NOT NULL,
  kind TEXT NOT NULL,
  severity TEXT NOT NULL,
  raised_at INTEGER NOT NULL,
  changed_at INTEGER NOT NULL,
  cleared_at INTEGER,
  body TEXT NOT NULL
) STRICT;
CREATE INDEX incidents_by_state ON incidents (state, cleared_at);

CREATE TABLE transitions (
  number INTEGER PRIMARY KEY,
  incident TEXT NOT NULL REFERENCES incidents (id) ON DELETE CASCADE,
  what TEXT NOT NULL,
  at INTEGER NOT NULL,
  body TEXT NOT NULL
) STRICT;
CREATE INDEX transitions_by_incident ON transitions (incident);
CREATE INDEX transitions_by_time ON transitions (what, at);

CREATE TABLE devices (
  name TEXT PRIMARY KEY NOT NULL,
  body TEXT NOT NULL
) STRICT;

CREATE TABLE notices (
  id TEXT PRIMARY KEY NOT NULL,
  number INTEGER NOT NULL,
  hook TEXT NOT NULL,
  incident TEXT NOT NULL,
  reason TEXT NOT NULL,
  at INTEGER NOT NULL,
  due INTEGER NOT NULL,
  state TEXT NOT NULL,
  attempts INTEGER NOT NULL,
  trouble TEXT NOT NULL,
  body TEXT NOT NULL
) STRICT;
CREATE INDEX notices_by_state ON notices (state, number);

CREATE TABLE replacements (
  number INTEGER PRIMARY KEY,
  device TEXT NOT NULL,
  supply INTEGER NOT NULL,
  description TEXT NOT NULL,
  colorant TEXT NOT NULL,
  at INTEGER NOT NULL,
  percent_before REAL,
  percent_after REAL,
  impressions INTEGER,
  UNIQUE (device, at, supply)
) STRICT;

CREATE TABLE readings (
  number INTEGER PRIMARY KEY,
  device TEXT NOT NULL,
  at INTEGER NOT NULL,
  reach TEXT NOT NULL,
  detail TEXT NOT NULL,
  snapshot TEXT
) STRICT;
CREATE INDEX readings_by_time ON readings (at);
)sql";

// So that forgetting need not read all that is kept: a notice waits for the same thread. The expressions and conditions
// are forget()'s, word for word.
constexpr const char* kFindWhatIsOver = R"sql(
CREATE INDEX notices_by_end ON notices (max(at, due)) WHERE state <> 'waiting';
CREATE INDEX incidents_by_end ON incidents (coalesce(cleared_at, changed_at)) WHERE state = 'cleared';
)sql";

// Who changed what.
constexpr const char* kAudit = R"sql(
CREATE TABLE audit (
  number INTEGER PRIMARY KEY,
  at INTEGER NOT NULL,
  who TEXT NOT NULL,
  peer TEXT NOT NULL,
  what TEXT NOT NULL,
  target TEXT NOT NULL,
  detail TEXT NOT NULL,
  outcome TEXT NOT NULL,
  reason TEXT NOT NULL
) STRICT;
CREATE INDEX audit_by_time ON audit (at);
)sql";

// A week of a device's changes in one row (kept_history.h, history_rows.h).
constexpr const char* kHistory = R"sql(
CREATE TABLE history_devices (
  number INTEGER PRIMARY KEY,
  name TEXT UNIQUE NOT NULL
) STRICT;
CREATE TABLE history (
  number INTEGER PRIMARY KEY,
  week INTEGER NOT NULL,
  thinned INTEGER NOT NULL,
  body BLOB NOT NULL
) STRICT;
CREATE INDEX history_by_week ON history (thinned, week);
)sql";

// What people tell of upkeep (upkeep/books.h). `known` is a JSON object.
constexpr const char* kBooks = R"sql(
CREATE TABLE stock (
  part TEXT PRIMARY KEY NOT NULL,
  on_shelf INTEGER NOT NULL,
  on_order INTEGER NOT NULL
) STRICT;
CREATE TABLE service_done (
  number INTEGER PRIMARY KEY,
  device TEXT NOT NULL,
  task TEXT NOT NULL,
  at INTEGER NOT NULL,
  who TEXT NOT NULL,
  note TEXT NOT NULL
) STRICT;
CREATE TABLE complaints (
  id TEXT PRIMARY KEY NOT NULL,
  device TEXT NOT NULL,
  symptom TEXT NOT NULL,
  at INTEGER NOT NULL,
  who TEXT NOT NULL,
  note TEXT NOT NULL,
  known TEXT NOT NULL,
  cause TEXT NOT NULL,
  closed_at INTEGER
) STRICT;
CREATE INDEX complaints_by_time ON complaints (at);
)sql";

constexpr std::array kSteps = {kFirst, kFindWhatIsOver, kAudit, kHistory, kBooks};

constexpr std::array kTables = {"counters",     "incidents",    "transitions", "devices",         "notices",
                                "replacements", "readings",     "audit",       "history_devices", "history",
                                "stock",        "service_done", "complaints"};

}  // namespace

std::span<const char* const> schema_steps() { return kSteps; }
std::span<const char* const> schema_tables() { return kTables; }
int newest_schema() { return static_cast<int>(kSteps.size()); }

void bring_up_to(SQLite::Database& database, int version) {
  for (int at = database.execAndGet("PRAGMA user_version").getInt(); at < version; ++at) {
    SQLite::Transaction transaction(database, SQLite::TransactionBehavior::IMMEDIATE);
    database.exec("PRAGMA application_id = " + std::to_string(kApplicationId));
    database.exec(kSteps.at(static_cast<std::size_t>(at)));
    database.exec("PRAGMA user_version = " + std::to_string(at + 1));
    transaction.commit();
  }
}

}  // namespace frisket::store
