// The public JSON forms (docs/api.md): one function for each thing the middle speaks in.
//
// Used by the HTTP service, by the hooks and by the store, so that a script sees the same
// fields everywhere. Every string passes through nlohmann_json's escaping; device texts are
// UTF-8 already (probes/model/text.h). Pure; any thread.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "config/config.h"
#include "daemon/incidents/alarm_load.h"
#include "daemon/incidents/correlator.h"
#include "daemon/incidents/incident.h"
#include "daemon/incidents/queue_status.h"
#include "probes/model/audit.h"

namespace frisket::json {

// Keeps the order in which the contract lists the fields.
using Json = nlohmann::ordered_json;

// The value on one line, without a line break anywhere in it. Never throws for a text
// that is not UTF-8: its bad octets become U+FFFD.
std::string text_of(const Json& value);

// One device as GET /v1/devices/{name} gives it. Never contains a credential.
Json device_form(const config::Device& device, const incidents::DeviceStatus& status);

// One supply as it stands in a device's "supplies"; `low` follows from the conditions.
Json supply_form(const model::Supply& supply, const std::vector<incidents::Condition>& conditions);

// The same as an item of GET /v1/supplies, which says whose it is.
Json supply_item_form(const config::Device& device, const Json& supply);

// One incident as GET /v1/incidents/{id} gives it.
Json incident_form(const incidents::Incident& incident);

Json condition_form(const incidents::Condition& condition);

// One queue as GET /v1/queues/{name} gives it. Of its jobs only what tells nobody who prints what.
Json queue_form(const incidents::QueueStatus& status);

// One job. Its name and its owner are null unless `personal` says that the reader may know them.
Json job_form(const model::Job& job, bool personal);

// The jobs of a queue as GET /v1/queues/{name}/jobs lists them.
Json queue_jobs_form(const incidents::QueueStatus& status, bool personal);

// The alarm load as "load" of GET /v1/fleet.
Json alarm_load_form(const incidents::LoadFigures& figures);

// One line of the record of who changed what, as GET /v1/audit gives it.
Json audit_form(const model::AuditRecord& record);

// One notice as hooks and the event stream get it:
// {"notice": "raised|changed|cleared", "at": "...", "incident": {...}}
Json notice_form(const incidents::Transition& transition);

}  // namespace frisket::json
