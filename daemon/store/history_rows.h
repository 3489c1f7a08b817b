// The rows of the devices' histories, inside a transaction of the caller's. Inside daemon/store only.
//
// A row's number is made of the device's and the week's, so that a device's weeks lie beside each other and need no
// index of their own.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <functional>
#include <span>
#include <string>
#include <vector>

#include "daemon/store/store.h"

namespace frisket::store {

inline constexpr const char* kWatchedUntil = "watched_until";  // among the counters; milliseconds

// Its members throw SQLite::Exception. Must not outlive the database.
class HistoryRows {
 public:
  explicit HistoryRows(SQLite::Database& database) : database_(database) {}

  // A week that cannot be read any more begins anew.
  void write(std::span<const DeviceChanges> history);

  std::vector<std::string> devices();
  // `leave_out` is told of each week that cannot be read.
  upkeep::Changes read(const std::string& device, model::WallTime since,
                       const std::function<void(const model::Error&)>& leave_out);

  // Weeks that were over by then.
  void forget_before(model::WallTime then);
  // The oldest of them, so many that nobody waits for it.
  void thin_before(model::WallTime then);

 private:
  std::int64_t number_of(const std::string& device);  // gives it one if need be
  void write_week(std::int64_t device, std::int64_t week, upkeep::Changes changes);

  SQLite::Database& database_;
};

}  // namespace frisket::store
