// Incidents, notices and readings for the store's tests. The devices are the invented botanical garden's.
#pragma once

#include <catch2/catch.hpp>
#include <memory>
#include <string>

#include "daemon/store/store.h"

namespace frisket::store::testing {

using namespace std::chrono_literals;
using incidents::Incident;
using incidents::Notice;
using incidents::Transition;
using incidents::What;
using model::WallTime;

inline constexpr WallTime kMorning = std::chrono::sys_days{std::chrono::year{2026} / 3 / 2} + 8h;

// Fails the test with the error's text.
template <class T>
T must(model::Result<T> result) {
  if (!result) FAIL(result.error().text());
  return std::move(*result);
}

inline Incident incident(const std::string& id, WallTime raised_at = kMorning) {
  Incident incident;
  incident.id = id;
  incident.kind = "media-jam";
  incident.device = "herbarium-copier";
  incident.site = "glasshouse";
  incident.subunit = model::Subunit{model::Subunit::Kind::input, 2};
  incident.place = "Tray 2";
  incident.severity = model::Severity::major;
  incident.raised_at = raised_at;
  incident.changed_at = raised_at;
  incident.summary = "Paper is jammed at Tray 2";
  incident.evidence.push_back({"media-jam",
                               model::Severity::major,
                               model::Training::trained,
                               *incident.subunit,
                               "Tray 2",
                               raised_at,
                               {{incidents::Witness::Source::error_bits, "jammed", false}},
                               "Stau"});
  incident.remedy.steps = {"Open the rear cover"};
  return incident;
}

inline Transition raised(Incident incident) { return {What::raised, incident.raised_at, std::move(incident)}; }

inline Transition cleared(Incident incident, WallTime at) {
  incident.state = Incident::State::cleared;
  incident.changed_at = at;
  incident.cleared_at = at;
  return {What::cleared, at, std::move(incident)};
}

inline Notice notice(std::uint64_t number, const std::string& incident, Notice::State state = Notice::State::waiting,
                     WallTime at = kMorning) {
  Notice notice;
  notice.id = incident + "-" + std::to_string(number);
  notice.number = number;
  notice.hook = "desk";
  notice.incident = incident;
  notice.at = at;
  notice.due = at + 5min;
  notice.state = state;
  notice.attempts = 3;
  notice.trouble = "exit status 1";
  notice.body = R"({"notice": "raised"})";
  return notice;
}

inline model::DeviceReading reading(WallTime at, std::uint32_t pages) {
  auto snapshot = std::make_shared<model::DeviceSnapshot>();
  model::Marker marker;
  marker.index = 1;
  marker.life_count = pages;
  snapshot->markers = {marker};
  snapshot->colour_impressions = 34300;
  return {"herbarium-copier", at, model::Reach::answered, "", std::move(snapshot)};
}

inline AuditRecord act(const std::string& who, WallTime at = kMorning) {
  AuditRecord record;
  record.at = at;
  record.who = who;
  record.peer = "127.0.0.1";
  record.what = "incident.ack";
  record.target = "i1";
  record.detail = R"({"by":"robin"})";
  return record;
}

inline Batch of(std::vector<Transition> transitions) {
  Batch batch;
  batch.transitions = std::move(transitions);
  return batch;
}

template <class T>
std::vector<std::string> ids_of(const std::vector<T>& list) {
  std::vector<std::string> ids;
  for (const auto& entry : list) ids.push_back(entry.id);
  return ids;
}

}  // namespace frisket::store::testing
