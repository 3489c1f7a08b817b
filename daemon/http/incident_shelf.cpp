#include "daemon/http/incident_shelf.h"

#include <tuple>

#include "daemon/json/forms.h"

namespace frisket::http {

using incidents::Incident;

void IncidentShelf::put(const Incident& incident) {
  auto& entry = entries_[incident.id];
  entry.incident = incident;
  entry.form = KeptForm(json::incident_form(incident));
  entry.revision = revisions_.next();
  if (incident.state == Incident::State::cleared && !entry.counted_cleared) {
    entry.counted_cleared = true;
    cleared_.push_back(incident.id);
  }
  while (cleared_.size() > cleared_kept_) forget_oldest_cleared();
}

void IncidentShelf::forget_oldest_cleared() {
  const auto found = entries_.find(cleared_.front());
  cleared_.pop_front();
  if (found == entries_.end()) return;
  if (found->second.incident.state == Incident::State::raised)
    found->second.counted_cleared = false;  // raised again since
  else
    entries_.erase(found);
}

const IncidentShelf::Entry* IncidentShelf::find(const std::string& id) const {
  const auto found = entries_.find(id);
  return found == entries_.end() ? nullptr : &found->second;
}

bool is_open(const Incident& incident) {
  return incident.state == Incident::State::raised && incident.operator_state != Incident::Operator::shelved &&
         incident.operator_state != Incident::Operator::closed;
}

bool before(const Incident& a, const Incident& b) {
  return std::tie(b.severity, a.raised_at, a.id) < std::tie(a.severity, b.raised_at, b.id);
}

}  // namespace frisket::http
