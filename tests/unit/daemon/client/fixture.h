// A botanical garden's printers as the daemon would serve them, and a daemon in memory.
#pragma once

#include <catch2/catch.hpp>
#include <deque>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "daemon/client/client.h"
#include "daemon/client/views.h"

namespace frisket::client {

inline WallTime at(std::string_view rfc3339) { return model::from_rfc3339(rfc3339).value(); }

// One hour east of Greenwich, whatever the machine's zone is.
inline Zone one_hour_east() {
  return [](WallTime) { return std::chrono::hours{1}; };
}

inline Screen screen_of(std::size_t width, bool colour = false) {
  return {width, colour, at("2026-11-25T08:37:00Z"), one_hour_east()};
}

inline const char* const kJam = R"({
  "id": "17", "kind": "media-jam", "device": "herbarium-copier", "queue": null, "site": "glasshouse",
  "subunit": "input:2", "place": "Tray 2", "severity": "critical", "state": "raised", "operator": "none",
  "training": "untrained", "raised_at": "2026-11-25T08:12:00.000Z", "changed_at": "2026-11-25T08:12:00.000Z",
  "cleared_at": null, "summary": "Paper is jammed at tray 2.",
  "evidence": [{"keyword": "media-jam", "severity": "critical", "subunit": "input:2",
    "since": "2026-11-25T08:12:00.000Z", "place": "Tray 2", "training": "untrained",
    "witnesses": [{"source": "alert-table", "says": "row 3: critical, jam, 'Jam in tray 2'"},
                  {"source": "error-bits", "says": "jammed"}]}],
  "remedy": {"cautions": ["The fuser is hot: let it cool, and do not touch it."],
             "steps": ["Open tray 2 and take out the sheet.", "Close the tray."],
             "carry": [{"part": "pick roller kit", "maker": "Fernwerk", "colorant": "", "count": 1}]}})";

inline const char* const kLowToner = R"({
  "id": "12", "kind": "toner-low", "device": "herbarium-copier", "queue": null, "site": "glasshouse",
  "subunit": "supply:1", "place": "Black toner", "severity": "warning", "state": "raised", "operator": "ack",
  "training": "untrained", "raised_at": "2026-11-23T06:37:00.000Z", "changed_at": "2026-11-23T06:37:00.000Z",
  "cleared_at": null, "summary": "Black toner is down to 4 per cent.", "evidence": [],
  "remedy": {"steps": [], "cautions": [], "carry": []}})";

inline const char* const kSilent = R"({
  "id": "9", "kind": "device-silent", "device": "seed-bank-printer", "queue": null, "site": "seed bank",
  "subunit": null, "place": "", "severity": "major", "state": "cleared", "operator": "none",
  "training": "untrained", "raised_at": "2026-11-03T07:00:00.000Z", "changed_at": "2026-11-03T07:00:00.000Z",
  "cleared_at": "2026-11-25T08:01:00.000Z", "summary": "The device does not answer.", "evidence": [],
  "remedy": {"steps": [], "cautions": [], "carry": []}})";

inline const char* const kCopier = R"({
  "name": "herbarium-copier", "address": "127.0.1.5", "site": "glasshouse", "location": "Herbarium, first floor",
  "state": "stopped", "maker": "Fernwerk", "model": "Frond 400", "serial": "FW-0400-77", "impressions": 120345,
  "last_reading_at": "2026-11-25T08:36:30.000Z",
  "supplies": [
    {"index": 1, "type": "toner", "class": "consumed", "colorant": "black", "description": "Black toner",
     "part": "FW-T42", "percent": 4.0, "low": true, "level": "known", "days_left": {"p10": 2, "p50": 5.4, "p90": 9}},
    {"index": 2, "type": "waste-toner", "class": "filled", "colorant": "", "description": "", "part": null,
     "percent": 88.0, "low": false, "level": "known", "days_left": null},
    {"index": 3, "type": "opc", "class": "consumed", "colorant": "", "description": "Drum", "part": null,
     "percent": null, "low": false, "level": "some", "days_left": null}],
  "inputs": [
    {"index": 1, "name": "Tray 1", "media": "A4", "percent": 50.0, "empty": false, "status": "idle", "level": "known",
     "remaining": 250, "capacity": 500, "unit": "sheets"},
    {"index": 2, "name": "Tray 2", "media": "", "percent": 0.0, "empty": true, "status": "broken, critical alerts",
     "level": "known", "remaining": 0, "capacity": 500, "unit": "sheets"}],
  "outputs": [{"index": 1, "name": "Top bin", "percent": null, "full": false, "status": "idle", "level": "some",
     "remaining": null, "capacity": 150, "unit": "sheets"}],
  "covers": [{"index": 1, "name": "Front cover", "open": true}, {"index": 2, "name": "Rear cover", "open": false}],
  "console": ["Jam in tray 2", "Open tray 2"],
  "conditions": [
    {"keyword": "media-jam", "severity": "critical", "subunit": "input:2", "since": "2026-11-25T08:12:00.000Z",
     "place": "Tray 2", "training": "untrained", "witnesses": []},
    {"keyword": "cover-open", "severity": "minor", "subunit": "cover:1", "since": "2026-11-25T08:36:30.000Z",
     "place": "Front cover", "training": "untrained", "witnesses": []}],
  "lights": [{"index": 1, "name": "Attention", "color": "red", "shows": "blinking"},
             {"index": 2, "name": "Ready", "color": "green", "shows": "off"}],
  "detail": ""})";

inline const char* const kSeedPrinter = R"({
  "name": "seed-bank-printer", "address": "127.0.1.6", "site": "seed bank", "location": "種子の部屋", "state": "silent",
  "maker": "", "model": "", "serial": "", "impressions": null, "last_reading_at": null, "supplies": [],
  "inputs": [], "outputs": [], "covers": [], "console": [], "conditions": [], "detail": "no answer in 3 attempts"})";

inline const char* const kQueue = R"({
  "name": "herbarium", "spooler": "office", "device": "herbarium-copier", "site": "glasshouse",
  "uri": "ipp://127.0.0.1:631/printers/herbarium", "state": "processing", "reach": "answered", "detail": "",
  "last_reading_at": "2026-11-25T08:36:30.000Z", "accepting": false,
  "reasons": [{"keyword": "connecting-to-device", "mark": ""}, {"keyword": "media-low", "mark": "warning"}],
  "message": "Connecting to the printer", "make_and_model": "Fernwerk Frond 400, plain",
  "location": "Herbarium, first floor", "info": "Copier", "default": true, "device_uri": "socket://127.0.1.5",
  "document_formats": ["application/pdf", "image/pwg-raster"],
  "jobs": {"known": true, "queued": 3, "waiting": 2, "held": 1, "oldest_waiting_seconds": 720,
           "head": {"id": 411, "state": "processing", "reasons": ["job-printing"], "age_seconds": 605,
                    "processing_seconds": 590, "k_octets": 2210, "impressions": 10, "impressions_completed": 3,
                    "priority": 50}},
  "conditions": [{"keyword": "connecting-to-device", "severity": "warning", "subunit": "device",
                  "since": "2026-11-25T08:12:00.000Z", "place": "", "training": "untrained", "witnesses": []}],
  "gaps": []})";

inline const char* const kUnreadQueue = R"({
  "name": "seeds", "spooler": null, "device": null, "site": "seed bank", "uri": "ipp://127.0.1.6/ipp/print",
  "state": "silent", "reach": "silent", "detail": "no answer in 10 s", "last_reading_at": null, "accepting": null,
  "reasons": [], "message": "", "make_and_model": "", "location": "", "info": "", "default": null, "device_uri": "",
  "document_formats": [], "jobs": {"known": false, "queued": null, "waiting": null, "held": null,
  "oldest_waiting_seconds": null, "head": null}, "conditions": [], "gaps": []})";

inline const char* const kQueueJobs = R"({"items": [
  {"id": 411, "state": "processing", "reasons": ["job-printing"], "age_seconds": 605, "processing_seconds": 590,
   "k_octets": 2210, "impressions": 10, "impressions_completed": 3, "priority": 50, "name": "Seed list", "owner": "moss"},
  {"id": 412, "state": "pending", "reasons": [], "age_seconds": null, "processing_seconds": null, "k_octets": null,
   "impressions": null, "impressions_completed": null, "priority": null, "name": null, "owner": null}],
  "next": null, "known": true, "last_reading_at": "2026-11-25T08:36:30.000Z", "personal": true})";

inline const char* const kWouldCancel = R"({"what": "cancel-waiting", "queue": "herbarium", "dry_run": true, "jobs": [
  {"id": 412, "state": "pending", "age_seconds": 60, "k_octets": 12, "name": "Seed list", "owner": "moss", "done": false,
   "trouble": ""}], "said": "1 waiting job would be cancelled.", "afterwards": "", "personal": true})";

inline const char* const kCancelled = R"({"what": "cancel-waiting", "queue": "herbarium", "dry_run": false, "jobs": [
  {"id": 412, "state": "pending", "age_seconds": 60, "k_octets": 12, "name": "Seed list", "owner": "moss", "done": true,
   "trouble": ""}], "said": "1 waiting job was cancelled.", "afterwards": "The queue prints.", "personal": true})";

inline const char* const kTestPrinted = R"({"device": "herbarium-copier", "incident": "17", "dry_run": false,
  "page": "0rk3v5t8", "way": "own-service", "to": "ipp://127.0.1.5/ipp/print", "queue": null, "format": "application/pdf",
  "job": 12, "verdict": "printed", "reasons": [], "impressions_before": 120345, "impressions_after": 120346,
  "proved": ["17"], "said": "The page was printed: the page counter rose from 120345 to 120346."})";

inline const char* const kFleet = R"({
  "at": "2026-11-25T08:37:00.000Z",
  "devices": {"total": 14, "ready": 11, "busy": 1, "attention": 0, "stopped": 1, "silent": 1, "unknown": 0},
  "incidents": {"open": 2, "critical": 1, "major": 0, "minor": 0, "warning": 1},
  "worst": null,
  "sites": [{"name": "glasshouse", "time_zone": "Europe/Dublin",
             "devices": {"total": 2, "ready": 1, "busy": 0, "attention": 0, "stopped": 1, "silent": 0, "unknown": 0},
             "incidents": {"open": 2}}]})";

inline std::string list_of(const std::vector<std::string>& items, const std::string& next = "null") {
  std::string out = R"({"items":[)";
  for (const std::string& item : items) out += (out.back() == '[' ? "" : ",") + item;
  return out + R"(],"next":)" + next + "}";
}

template <class T>
T decoded(const char* json, Result<T> (*decode)(const Json&)) {
  return decode(parse_json(json).value()).value();
}

inline Incident incident(const char* json) { return decoded<Incident>(json, incident_from); }
inline Device device(const char* json) { return decoded<Device>(json, device_from); }

// A daemon in memory. What it was not told to serve is answered with 404.
class FakeServer final : public Server {
 public:
  void serve(const std::string& path, const std::string& body, int status = 200) {
    const Answer answer{status, status == 200 ? "application/json" : "application/problem+json", body};
    answers_.insert_or_assign(path, model::Result<Answer>(answer));
  }
  // Posts to the path get these, one after the other.
  void serve_in_turn(const std::string& path, std::deque<std::string> bodies) {
    answers_in_turn_[path] = std::move(bodies);
  }
  void fail(const std::string& path, model::Error::Kind kind) {
    const model::Error error{.kind = kind, .doing = "asking " + name(), .whom = "", .what = "it went wrong"};
    answers_.insert_or_assign(path, model::Result<Answer>(error));
  }
  // The next connection to the event stream: pieces, then how it ends.
  void stream(std::vector<std::string> pieces, model::Result<Answer> end = Answer{200, "text/event-stream", ""}) {
    connections_.push_back({std::move(pieces), std::move(end)});
  }

  model::Result<Answer> get(const std::string& path) override {
    asked.push_back(path);
    const auto found = answers_.find(path);
    if (found != answers_.end()) return found->second;
    return Answer{404, "application/problem+json",
                  R"({"type":"about:blank","title":"Not Found","status":404,"detail":"nothing of this name"})"};
  }
  // As served for the path; what was posted is remembered.
  model::Result<Answer> post(const std::string& path, const std::string& json) override {
    posted.push_back(json);
    if (const auto next = answers_in_turn_.find(path); next != answers_in_turn_.end() && !next->second.empty()) {
      asked.push_back(path);
      const Answer answer{200, "application/json", next->second.front()};
      next->second.pop_front();
      return answer;
    }
    return get(path);
  }
  std::vector<std::string> posted;
  model::Result<Answer> follow(const std::string& path, const std::string& last_event_id,
                               const std::function<bool(std::string_view)>& take) override {
    asked.push_back(path + " after '" + last_event_id + "'");
    if (connections_.empty())
      return model::Error{
          .kind = model::Error::Kind::silent, .doing = "asking " + name(), .whom = "", .what = "closed"};
    const auto [pieces, end] = connections_.front();
    connections_.pop_front();
    for (const std::string& piece : pieces)
      if (!take(piece)) break;
    return end;
  }
  std::string name() const override { return "http://127.0.0.1:9640"; }

  std::vector<std::string> asked;

 private:
  std::map<std::string, model::Result<Answer>> answers_;
  std::map<std::string, std::deque<std::string>> answers_in_turn_;
  std::deque<std::pair<std::vector<std::string>, model::Result<Answer>>> connections_;
};

// Writes down how long it should have waited, and stops after so many waits.
class FakePause final : public Pause {
 public:
  explicit FakePause(std::size_t stop_after) : stop_after_(stop_after) {}
  bool wait(std::chrono::milliseconds time) override {
    if (time.count() == 0) return waits.size() < stop_after_;
    waits.push_back(time);
    return waits.size() < stop_after_;
  }

  std::vector<std::chrono::milliseconds> waits;

 private:
  std::size_t stop_after_;
};

// One run of the client against a FakeServer.
struct Run {
  FakeServer server;
  FakePause pause{1};
  bool terminal = false;
  bool colour = false;
  std::size_t width = 80;
  std::function<bool(const std::string&)> ask;
  std::string out;
  std::string err;

  ExitStatus operator()(const Request& request) {
    std::ostringstream to_out;
    std::ostringstream to_err;
    Surroundings around{.server = server,
                        .pause = pause,
                        .out = to_out,
                        .err = to_err,
                        .terminal = terminal,
                        .colour = colour,
                        .width = width,
                        .now = [] { return at("2026-11-25T08:37:00Z"); },
                        .zone = one_hour_east(),
                        .user = "robin",
                        .ask = ask};
    const ExitStatus status = run(request, around);
    out = to_out.str();
    err = to_err.str();
    return status;
  }
};

inline const std::string kOpenIncidents = "/v1/incidents?state=raised&operator=none%2Cack";

// The queue 17, its jobs and every act on it.
inline void serve_queue(FakeServer& server) {
  server.serve("/v1/queues", list_of({kQueue, kUnreadQueue}));
  server.serve("/v1/queues/17", kQueue);
  server.serve("/v1/queues/17/jobs", kQueueJobs);
  for (const char* act : {"pause", "resume", "cancel", "move", "restart"})
    server.serve(std::string("/v1/queues/17/") + act, kCancelled);
  server.serve(kOpenIncidents + "&queue=17", list_of({kJam}));
}

}  // namespace frisket::client
