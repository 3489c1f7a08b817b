// What the daemon would serve of the garden's upkeep, and the paths to it.
#pragma once

#include <string>

#include "fixture.h"

namespace frisket::client {

inline const char* const kOrders = R"({"made_at": "2026-11-25T02:10:00Z", "next": null, "items": [
  {"part": "FW-T42", "maker": "Fernwerk", "description": "toner cartridge", "colorant": "black", "supplier": "Fern & Sons",
   "count": 3, "pack_size": 3, "packs": 1, "on_hand": 1, "on_order": 0, "reorder_point": 4,
   "order_by": "2026-11-27T09:00:00Z", "runs_out_first": "2026-12-01T09:00:00Z",
   "for_devices": ["herbarium-copier", "palm-printer"], "undated": ["seed-bank-printer"],
   "demand": {"days": 12, "mean": 2.5}, "why": "Two run out before the next delivery."},
  {"part": "FW-D7", "maker": "Fernwerk", "description": "drum", "colorant": "", "supplier": "", "count": 0, "pack_size": 1,
   "packs": 0, "on_hand": 2, "on_order": null, "reorder_point": 1, "order_by": null, "runs_out_first": null,
   "for_devices": [], "undated": [], "demand": {"days": 12, "mean": 0.1}, "why": "Enough on the shelf."}]})";

inline const char* const kStock =
    R"({"items": [{"part": "FW-T42", "on_hand": 1, "on_order": 0}], "next": null, "made_at": null})";
inline const char* const kStockLine = R"({"part": "FW-T42", "on_hand": 4, "on_order": 0})";

inline const char* const kService = R"({"id": "herbarium-copier:feed-rollers", "device": "herbarium-copier",
  "site": "glasshouse", "location": "Herbarium, first floor", "task": "feed-rollers", "title": "Clean the feed rollers",
  "state": "due", "share": 1.02, "due_at": "2026-11-24T09:00:00Z",
  "last_done": {"at": "2026-05-04T09:00:00Z", "by": "moss", "count": 41200, "note": "worn"}, "minutes": 15, "why": "50,000 impressions.",
  "remedy": {"cautions": ["Pull the mains plug."], "steps": ["Open the cover.", "Wipe the rollers."]}})";

inline std::string service_plan() {
  return R"({"made_at": "2026-11-25T02:10:00Z", "next": null, "items": [)" + std::string(kService) + "]}";
}

inline const char* const kMeter = R"({"next": null, "made_at": null, "items": [
  {"device": "herbarium-copier", "site": "glasshouse", "serial": "FW-0400-77", "maker": "Fernwerk", "model": "Frond 400",
   "month": "2026-10", "impressions": 4211, "flags": ["reset", "incomplete"],
   "colour": 211, "monochrome": null, "colour_flags": ["reset", "incomplete", "apportioned"]}]})";

inline const char* const kReliability =
    R"({"from": "2026-08-27T08:37:00Z", "to": "2026-11-25T08:37:00Z", "next": null, "items": [
  {"device": "alpine-printer", "site": "alpine-house", "maker": null, "model": null, "places": [], "jams": 0, "sheets": 0,
   "rate": null, "worse": false, "better": false, "availability": null, "observed_hours": 0, "down_hours": 0},
  {"device": "fern-printer", "site": "glasshouse", "maker": "Fernwerk", "model": "Frond 100", "places": [{"place": null, "jams": 1}],
   "jams": 1, "sheets": 10000, "rate": {"value": 1, "low": 0.03, "high": 5.57}, "worse": false, "better": false,
   "availability": 1, "observed_hours": 2160, "down_hours": 0},
  {"device": "herbarium-copier", "site": "glasshouse", "maker": "Fernwerk", "model": "Frond 400",
   "places": [{"place": "Tray 2", "jams": 17}, {"place": "Duplex unit", "jams": 3}], "jams": 20, "sheets": 10000,
   "rate": {"value": 20, "low": 12.22, "high": 30.89}, "worse": true, "better": false, "availability": 0.9937,
   "observed_hours": 2160, "down_hours": 13.6},
  {"device": "moss-printer", "site": "glasshouse", "maker": "Fernwerk", "model": "Frond 100", "places": [], "jams": 0,
   "sheets": 90000, "rate": {"value": 0, "low": 0, "high": 0.41}, "worse": false, "better": true,
   "availability": 1, "observed_hours": 2160, "down_hours": 0}],
  "models": [{"maker": "Fernwerk", "model": "Frond 100", "devices": 2, "jams": 1, "sheets": 100000,
   "rate": {"value": 0.1, "low": 0, "high": 0.56}, "worse": false, "better": true}],
  "kinds": [{"kind": "media-jam", "incidents": 21, "open": 1, "mean_between_hours": 102.5, "mean_repair_hours": 0.7,
   "median_repair_hours": null}]})";

inline const char* const kRound =
    R"({"site": "glasshouse", "days": 7, "minutes": 65, "walking_minutes": 5, "budget": 90,
  "made_at": "2026-11-25T02:10:00Z", "stops": [
  {"device": "herbarium-copier", "building": "Herbarium", "floor": 1, "place": "room 12", "location": "Herbarium, first floor",
   "minutes": 25, "jobs": [{"key": "17", "what": "Replace the fuser", "why": "It is worn.", "incident": "17",
     "severity": "major", "task": "herbarium-copier:fuser", "supply": null, "minutes": 25, "value": 50,
     "cautions": ["The fuser is hot."], "steps": ["Open the rear cover.", "Take out the fuser."],
     "carry": [{"part": "FW-F1", "maker": "Fernwerk", "colorant": "", "count": 1}]}]}],
  "carry": [{"part": "FW-F1", "maker": "Fernwerk", "colorant": "", "count": 1, "on_hand": 0}],
  "left_out": [{"device": "palm-printer", "what": "Clean the filter", "why": "not due before December"}]})";

inline const char* const kHistory = R"({"device": "17", "from": "2026-11-24T00:00:00Z", "to": "2026-11-25T00:00:00Z",
  "resolution": "day", "series": [
  {"name": "impressions", "unit": "impressions", "description": "Impressions", "points": [["2026-11-24T00:00:00Z", 120]]},
  {"name": "supply:1", "unit": "percent", "description": "Black toner", "points": [["2026-11-24T00:00:00Z", 42],
   ["2026-11-25T00:00:00Z", null]]}],
  "unobserved": [{"from": "2026-11-24T10:00:00Z", "to": "2026-11-24T12:00:00Z"}],
  "incidents": [{"id": "17", "kind": "media-jam", "severity": "critical", "raised_at": "2026-11-24T08:00:00Z",
                 "cleared_at": null}]})";

inline const char* const kSymptoms = R"({"items": [{"symptom": "faded", "title": "Print is faded"}], "next": null})";

inline const char* const kDiagnosis = R"({"id": "5", "device": "herbarium-copier", "symptom": "faded",
  "title": "Print is faded", "at": "2026-11-25T08:37:00Z", "known": {"supply-low": true}, "causes": [
  {"cause": "supply-low", "title": "The toner is low", "probability": 0.62, "prior": 0.36, "evidence": [
    {"observation": "supply-low", "question": "Is a supply low?", "so": true, "weight": 1.4}],
   "cautions": ["Keep the cartridge level."], "steps": ["Replace the cartridge."]},
  {"cause": "drum-worn", "title": "The drum is worn", "probability": 0.1, "prior": 0.12, "evidence": [
    {"observation": "supply-low", "question": "Is a supply low?", "so": true, "weight": -0.4}],
   "cautions": [], "steps": []}],
  "checks": [{"observation": "marks-repeat", "question": "Do marks repeat?", "minutes": 2, "bits": 0.4}]})";

inline const char* const kComplaint = R"({"id": "5", "device": "herbarium-copier", "symptom": "faded",
  "at": "2026-11-25T08:37:00Z", "by": "robin", "note": "", "known": {"supply-low": true}, "cause": "drum-worn",
  "closed_at": "2026-11-25T09:00:00Z"})";

inline const std::string kPlanPath = "/v1/upkeep?state=overdue%2Cdue%2Csoon";

// The subject of every request here is 17.
template <class Change>
void serve_upkeep(FakeServer& server, Change change) {
  server.serve("/v1/order?wanted=true", change(kOrders));
  server.serve("/v1/order", change(kOrders));
  server.serve("/v1/stock", change(kStock));
  server.serve("/v1/round", change(kRound));
  server.serve(kPlanPath, change(service_plan()));
  server.serve("/v1/upkeep/17/done", change(kService));
  server.serve("/v1/meter", change(kMeter));
  server.serve("/v1/reliability", change(kReliability));
  server.serve("/v1/devices/17/history", change(kHistory));
  server.serve("/v1/symptoms", change(kSymptoms));
  server.serve("/v1/complaints?device=17", change(list_of({kComplaint})));
  server.serve("/v1/devices/17/complaints", change(kDiagnosis));
  server.serve("/v1/complaints/17/outcome", change(kComplaint));
}

inline void serve_upkeep(FakeServer& server) {
  serve_upkeep(server, [](std::string json) { return json; });
}

}  // namespace frisket::client
