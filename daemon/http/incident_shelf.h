// The incidents as the board keeps them: everything raised, and the newest of the cleared.
#pragma once

#include <cstdint>
#include <deque>
#include <map>
#include <string>
#include <unordered_map>

#include "daemon/incidents/incident.h"

namespace frisket::http {

class IncidentShelf {
 public:
  explicit IncidentShelf(std::size_t cleared_kept) : cleared_kept_(cleared_kept) {}

  struct Entry {
    incidents::Incident incident;
    std::string form;  // as GET /v1/incidents/{id} gives it
    bool counted_cleared = false;
  };

  // Puts the incident where the one with its id was, or at the end.
  void put(const incidents::Incident& incident);

  const Entry* find(const std::string& id) const;

  // By a number that rises in the order in which the incidents came.
  const std::map<std::uint64_t, Entry>& entries() const { return entries_; }

 private:
  void forget_oldest_cleared();

  std::size_t cleared_kept_;
  std::map<std::uint64_t, Entry> entries_;
  std::unordered_map<std::string, std::uint64_t> numbers_;
  std::deque<std::uint64_t> cleared_;  // oldest first
  std::uint64_t next_ = 1;
};

// Still to be dealt with: raised, and neither shelved nor closed by the operator.
bool is_open(const incidents::Incident& incident);

// Whether `a` deserves attention before `b`: worse, or as bad and longer so.
bool before(const incidents::Incident& a, const incidents::Incident& b);

}  // namespace frisket::http
