// The incidents as the board keeps them: everything raised, and the newest of the cleared.
#pragma once

#include <cstddef>
#include <deque>
#include <map>
#include <string>

#include "daemon/http/kept_form.h"
#include "daemon/http/revisions.h"
#include "daemon/incidents/incident.h"

namespace frisket::http {

class IncidentShelf {
 public:
  // The revisions must outlive the shelf.
  IncidentShelf(std::size_t cleared_kept, Revisions& revisions) : cleared_kept_(cleared_kept), revisions_(revisions) {}

  struct Entry {
    incidents::Incident incident;
    KeptForm form;  // as GET /v1/incidents/{id} gives it
    std::uint64_t revision = 0;
    bool counted_cleared = false;
  };

  // In place of the one with the same id, if there is one.
  void put(const incidents::Incident& incident);

  const Entry* find(const std::string& id) const;

  // By id, which is the order in which they were raised (daemon/incidents/incident_id.h).
  const std::map<std::string, Entry>& entries() const { return entries_; }

 private:
  void forget_oldest_cleared();

  std::size_t cleared_kept_;
  Revisions& revisions_;
  std::map<std::string, Entry> entries_;
  std::deque<std::string> cleared_;  // ids, oldest first
};

// Still to be dealt with: raised, and neither shelved nor closed by the operator.
bool is_open(const incidents::Incident& incident);

// Whether `a` deserves attention before `b`: worse, or as bad and longer so.
bool before(const incidents::Incident& a, const incidents::Incident& b);

}  // namespace frisket::http
