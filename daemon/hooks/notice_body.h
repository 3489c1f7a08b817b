// A notice's body: the JSON that receivers get (docs/hooks.md), written once and read back at the edges.
//
// The outbox keeps the body and nothing else of the incident, so mail, syslog and a program's
// environment are made from it. Pure; any thread.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "daemon/incidents/incident.h"
#include "daemon/incidents/notice.h"
#include "probes/model/severity.h"

namespace frisket::hooks {

using incidents::Notice;

// "raised", "changed", "cleared" or "operator-action": what a receiver does about the reason. A reminder is
// a change, an escalation is the raising.
std::string_view kind_of_telling(Notice::Reason reason);

// notice_form() with "id", "hook", "reason" and "times_raised". Everything but the body is set already.
std::string body_of(const Notice& notice, const incidents::Incident& incident);
// For a test: without an incident.
std::string test_body_of(const Notice& notice);

// The notice as the first one that its hook gets of the incident: raised, whatever it was.
void tell_as_raised(Notice& notice);

// Several notices as one: {"hook": "...", "digest": [...]}; a single one is its body.
std::string body_of(const std::vector<Notice>& notices);

// What a body says. What it lacks is empty.
struct Facts {
  std::string notice, reason, at, id;
  std::string incident, kind, device, queue, site, place, subunit, state, operator_state, training, summary;
  std::string raised_at, cleared_at;
  model::Severity severity = model::Severity::warning;
  std::vector<std::string> cautions, steps;
  std::vector<std::string> carry;  // "2 x black toner 0815 (Tarnwick)"
  std::int64_t times_raised = 1;
};
Facts facts_of(const Notice& notice);

}  // namespace frisket::hooks
