// A store that forgets everything when it is destroyed: for tests, and where no database is wanted.
#pragma once

#include <set>

#include "daemon/store/store.h"

namespace frisket::store {

// write() and everything that reads never fail. back_up() always does: there is nothing to copy.
class MemoryStore final : public Store {
 public:
  model::Result<model::Done> write(const Batch& batch) override;
  model::Result<incidents::CorrelatorMemory> memory() override;
  model::Result<std::vector<incidents::Notice>> outbox() override;
  model::Result<std::uint64_t> last_notice_number() override { return last_number_; }
  model::Result<std::vector<incidents::Replacement>> replacements(const std::string& device) override;
  model::Result<std::vector<incidents::Transition>> transitions_since(model::WallTime since) override;
  model::Result<std::vector<model::DeviceReading>> readings_since(model::WallTime since) override;
  model::Result<std::vector<AuditRecord>> audit(const model::AuditWindow& window) override;
  model::Result<std::vector<std::string>> history_devices() override;
  model::Result<upkeep::Changes> history(const std::string& device, model::WallTime since) override;
  model::Result<std::unique_ptr<HistorySource>> history_source() override;
  model::Result<upkeep::Books> books() override { return books_; }
  model::Result<std::optional<model::WallTime>> watched_until() override { return watched_until_; }
  model::Result<model::Done> forget(const Retention& retention, model::WallTime now) override;
  model::Result<model::Done> back_up(const std::filesystem::path& to) override;
  std::vector<std::string> take_findings() override { return {}; }

 private:
  struct Week {
    upkeep::Changes changes;
    bool thinned = false;
  };

  void forget_history(const Retention& retention, model::WallTime now);
  bool is_raised(const std::string& incident) const;

  std::uint64_t last_id_ = 0;
  std::uint64_t last_number_ = 0;
  std::map<std::string, incidents::Incident> incidents_;  // by id
  std::vector<incidents::Transition> transitions_;        // in the order written
  std::map<std::string, incidents::DeviceMemory> devices_;
  std::map<std::string, incidents::Notice> notices_;             // by id
  std::vector<incidents::Replacement> replacements_;             // in the order written
  std::vector<model::DeviceReading> readings_;                   // in the order written
  std::vector<AuditRecord> audit_;                               // in the order written
  std::map<std::string, std::map<std::int64_t, Week>> history_;  // by device, by week
  upkeep::Books books_;
  std::optional<model::WallTime> watched_until_;
};

}  // namespace frisket::store
