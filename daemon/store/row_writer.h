// One kind of row after the other, inside a transaction of the caller's. Inside daemon/store only.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include "daemon/store/store.h"

namespace frisket::store {

// Its members throw SQLite::Exception. Must not outlive the database.
class RowWriter {
 public:
  explicit RowWriter(SQLite::Database& database);

  void write(const Batch& batch);

 private:
  void incident(const incidents::Incident& incident);
  void transition(const incidents::Transition& transition);
  void device(const std::string& name, const incidents::DeviceMemory& memory);
  void notice(const incidents::Notice& notice);
  void replacement(const incidents::Replacement& replacement);
  void reading(const model::DeviceReading& reading);
  void audit(const AuditRecord& record);
  void stock(const upkeep::StockLevel& level);
  void done(const upkeep::ServiceDone& done);
  void complaint(const upkeep::Complaint& complaint);
  void counter(const std::string& name, std::uint64_t value);  // never goes down

  SQLite::Database& database_;
};

}  // namespace frisket::store
