#include "daemon/store/recovery.h"

#include <sqlite3.h>

#include <algorithm>
#include <limits>
#include <optional>

#include "daemon/store/attempt.h"
#include "daemon/store/connection.h"
#include "daemon/store/schema.h"

namespace frisket::store {
namespace {

// So many rowids in a row that cannot be read end the search in a table.
constexpr int kMostMisses = 20'000;

struct Tally {
  std::uint64_t kept = 0;
  std::uint64_t lost = 0;  // rows that were there and could not be read, or did not fit
  bool broke_off = false;  // there may be more, of which nothing is known
};

void bind_as_is(SQLite::Statement& statement, int place, const SQLite::Column& column) {
  if (column.isInteger()) return statement.bind(place, column.getInt64());
  if (column.isFloat()) return statement.bind(place, column.getDouble());
  if (column.isText()) return statement.bind(place, column.getString());
  if (column.isBlob()) return statement.bind(place, column.getBlob(), column.getBytes());
  statement.bind(place);
}

bool is_misfit(const SQLite::Exception& failure) { return kind_of(failure) == model::Error::Kind::invalid; }

// Trouble with the new database, as against damage in the old.
struct Trouble {
  SQLite::Exception what;
};

// Copies one table. The reading is by rowid: page after page as long as it goes well, then rowid by rowid past
// the damage.
class TableCopy {
 public:
  TableCopy(SQLite::Database& from, SQLite::Database& to, const std::string& table)
      : from_(from),
        table_(table),
        columns_(columns_of(to, table)),
        insert_(to, insertion()),
        one_(from, "SELECT " + listed() + " FROM " + table_ + " WHERE rowid = ?") {}

  Tally run() {
    last_ = last_rowid();
    next_ = std::numeric_limits<std::int64_t>::min();
    while (!copy_run() && skip_damage()) {
    }
    return tally_;
  }

 private:
  static std::vector<std::string> columns_of(SQLite::Database& database, const std::string& table) {
    SQLite::Statement query(database, "SELECT name FROM pragma_table_info(?)");
    query.bind(1, table);
    std::vector<std::string> names;
    while (query.executeStep()) names.push_back(query.getColumn(0).getString());
    return names;
  }

  std::string listed() const {
    std::string list = "rowid";
    for (const auto& name : columns_) list += ", " + name;
    return list;
  }

  std::string insertion() const {
    std::string marks = "?";
    for (std::size_t i = 0; i < columns_.size(); ++i) marks += ", ?";
    return "INSERT INTO " + table_ + " (" + listed() + ") VALUES (" + marks + ")";
  }

  // Nothing if it cannot be told.
  std::optional<std::int64_t> last_rowid() {
    try {
      return from_.execAndGet("SELECT coalesce(max(rowid), 0) FROM " + table_).getInt64();
    } catch (const SQLite::Exception&) {
      return std::nullopt;
    }
  }

  void copy_row(SQLite::Statement& row) {
    const std::int64_t rowid = row.getColumn(0).getInt64();
    for (int i = 0; i < row.getColumnCount(); ++i) bind_as_is(insert_, i + 1, row.getColumn(i));
    next_ = rowid + 1;
    try {
      insert_.exec();
      ++tally_.kept;
    } catch (const SQLite::Exception& failure) {
      if (!is_misfit(failure)) throw Trouble{failure};
      ++tally_.lost;
    }
    insert_.tryReset();
  }

  // True at the table's end, false where the reading broke off.
  bool copy_run() {
    try {
      SQLite::Statement query(from_, "SELECT " + listed() + " FROM " + table_ + " WHERE rowid >= ? ORDER BY rowid");
      query.bind(1, next_);
      while (query.executeStep()) copy_row(query);
      return true;
    } catch (const SQLite::Exception&) {
      return false;
    }
  }

  // True once a row beyond the damage was read.
  bool skip_damage() {
    if (next_ < 1) next_ = 1;  // the store numbers its rows from 1
    for (int misses = 0; misses < kMostMisses; ++misses, ++next_) {
      if (last_ && next_ > *last_) return false;
      if (copy_one()) return true;
    }
    tally_.broke_off = true;
    return false;
  }

  bool copy_one() {
    one_.tryReset();
    one_.bind(1, next_);
    const int code = one_.tryExecuteStep();
    if (code == SQLITE_ROW) {
      copy_row(one_);
      return true;
    }
    if (code != SQLITE_DONE && last_) ++tally_.lost;  // SQLITE_DONE: never there, or forgotten
    return false;
  }

  SQLite::Database& from_;
  std::string table_;
  std::vector<std::string> columns_;
  SQLite::Statement insert_;
  SQLite::Statement one_;
  std::optional<std::int64_t> last_;
  std::int64_t next_ = 0;
  Tally tally_;
};

std::string sentence(const std::string& table, const Tally& tally) {
  std::string text = table + ": " + std::to_string(tally.kept) + " rows recovered";
  if (tally.lost > 0) text += ", up to " + std::to_string(tally.lost) + " lost";
  if (tally.broke_off) text += ", and what else there was could not be read";
  return text;
}

// The version of the damaged one, as far as it makes sense: rows are copied as they are.
int version_of(SQLite::Database& database) {
  try {
    return std::clamp(database.execAndGet("PRAGMA user_version").getInt(), 1, newest_schema());
  } catch (const SQLite::Exception&) {
    return newest_schema();
  }
}

// Nothing if not even its list of tables can be read.
std::unique_ptr<SQLite::Database> open_damaged(const std::filesystem::path& file) {
  try {
    auto database = open_file(file);
    sqlite3_db_config(database->getHandle(), SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, nullptr);
    database->exec("PRAGMA writable_schema = ON");  // else SQLite reads nothing of a file that was cut short
    database->execAndGet("SELECT count(*) FROM sqlite_master");
    return database;
  } catch (const SQLite::Exception&) {
    return nullptr;
  }
}

}  // namespace

void recover(const std::filesystem::path& file, const std::filesystem::path& to, std::vector<std::string>& findings) {
  const auto recovered = open_file(to);
  recovered->exec("PRAGMA foreign_keys = ON");
  const auto damaged = open_damaged(file);
  if (!damaged) {
    findings.push_back("nothing of it can be read: everything that the store held is lost");
    return;
  }
  bring_up_to(*recovered, version_of(*damaged));
  SQLite::Transaction transaction(*recovered, SQLite::TransactionBehavior::IMMEDIATE);
  for (const std::string table : schema_tables()) {
    try {
      const auto tally = TableCopy(*damaged, *recovered, table).run();
      findings.push_back(sentence(table, tally));
    } catch (const Trouble& trouble) {
      throw trouble.what;
    } catch (const SQLite::Exception& failure) {  // the table is not in the list of tables
      findings.push_back(table + ": not one row recovered: " + failure.what());
    }
  }
  transaction.commit();
}

}  // namespace frisket::store
