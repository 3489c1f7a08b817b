// Rows back into values. Inside daemon/store only.
//
// The statement stands on a row with the columns named beside each function, in that order. An invalid
// Error tells of a row that makes no sense. They throw SQLite::Exception.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include "daemon/store/store.h"

namespace frisket::store {

inline constexpr const char* kNoticeColumns =
    "id, number, hook, incident, reason, at, due, state, attempts, trouble, body";
model::Result<incidents::Notice> notice_of(SQLite::Statement& row);

inline constexpr const char* kReplacementColumns =
    "device, supply, description, colorant, at, percent_before, percent_after, impressions";
incidents::Replacement replacement_of(SQLite::Statement& row);

inline constexpr const char* kTransitionColumns = "what, at, body";
model::Result<incidents::Transition> transition_of(SQLite::Statement& row);

inline constexpr const char* kReadingColumns = "device, at, reach, detail, snapshot";
model::Result<model::DeviceReading> reading_of(SQLite::Statement& row);

inline constexpr const char* kAuditColumns = "number, at, who, peer, what, target, detail, outcome, reason";
model::Result<AuditRecord> audit_of(SQLite::Statement& row);

inline constexpr const char* kPastIncidentColumns =
    "device, kind, severity, raised_at, cleared_at, json_extract(body, '$.place')";
upkeep::PastIncident past_incident_of(SQLite::Statement& row);

inline constexpr const char* kStockColumns = "part, on_shelf, on_order";
upkeep::StockLevel stock_of(SQLite::Statement& row);

inline constexpr const char* kDoneColumns = "device, task, at, who, note";
upkeep::ServiceDone done_of(SQLite::Statement& row);

inline constexpr const char* kComplaintColumns = "id, device, symptom, at, who, note, known, cause, closed_at";
model::Result<upkeep::Complaint> complaint_of(SQLite::Statement& row);

}  // namespace frisket::store
