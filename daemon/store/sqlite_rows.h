// The store over one connection. Inside daemon/store only; others open it with open_sqlite().
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <functional>

#include "daemon/store/store.h"

namespace frisket::store {

class SqliteStore final : public Store {
 public:
  // The database is set up and up to date.
  SqliteStore(std::filesystem::path file, std::unique_ptr<SQLite::Database> database);

  model::Result<model::Done> write(const Batch& batch) override;
  model::Result<incidents::CorrelatorMemory> memory() override;
  model::Result<std::vector<incidents::Notice>> outbox() override;
  model::Result<std::uint64_t> last_notice_number() override;
  model::Result<std::vector<incidents::Replacement>> replacements(const std::string& device) override;
  model::Result<std::vector<incidents::Transition>> transitions_since(model::WallTime since) override;
  model::Result<std::vector<model::DeviceReading>> readings_since(model::WallTime since) override;
  model::Result<std::vector<AuditRecord>> audit(const model::AuditWindow& window) override;
  model::Result<std::vector<std::string>> history_devices() override;
  model::Result<upkeep::Changes> history(const std::string& device, model::WallTime since) override;
  model::Result<std::unique_ptr<HistorySource>> history_source() override;
  model::Result<upkeep::Books> books() override;
  model::Result<std::optional<model::WallTime>> watched_until() override;
  model::Result<model::Done> forget(const Retention& retention, model::WallTime now) override;
  model::Result<model::Done> back_up(const std::filesystem::path& to) override;
  std::vector<std::string> take_findings() override;

 private:
  std::uint64_t counter(const char* name);
  void add_incidents(const char* sql, std::vector<incidents::Incident>& to);
  void add_devices(std::map<std::string, incidents::DeviceMemory>& to);
  void leave_out(const std::string& row, const model::Error& why);
  // Every row for which `read` gives a value; the others are findings.
  template <class T>
  std::vector<T> rows(SQLite::Statement& query, model::Result<T> (*read)(SQLite::Statement&));

  std::filesystem::path file_;
  std::unique_ptr<SQLite::Database> database_;
  std::vector<std::string> findings_;
};

}  // namespace frisket::store
