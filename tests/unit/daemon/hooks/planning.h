// A planner with hooks and a garden of incidents, in simulated time.
#pragma once

#include <catch2/catch.hpp>
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "daemon/hooks/planner.h"

namespace frisket::hooks {

using incidents::Incident;
using incidents::OperatorState;
using incidents::Transition;
using incidents::What;
using model::Severity;
using Reason = Notice::Reason;
using namespace std::chrono_literals;

inline model::WallTime at(const std::string& text) { return *model::from_rfc3339(text); }

struct Planning {
  config::Config config;
  Planner planner;
  model::WallTime now = at("2026-03-02T09:00:00Z");  // a Monday
  std::map<std::string, Incident> incidents;
  std::map<std::uint64_t, Notice> outbox;  // as a store would hold it: by number, the newest state

  Planning() { config.sites = {{"glasshouse", "Europe/Dublin"}, {"arboretum", "Asia/Tokyo"}}; }

  config::Hook& hook(const std::string& name) {
    auto& hook = config.hooks.emplace_back();
    hook.name = name;
    return hook;
  }
  void configure() { keep(planner.configure(config)); }
  void keep(const Planner::Notices& notices) {
    for (const auto& notice : notices) outbox[notice.number] = notice;
  }

  Incident& incident(const std::string& id) {
    auto& made = incidents[id];
    if (made.id.empty()) {
      made.id = id;
      made.kind = "media-jam";
      made.site = "glasshouse";
      made.device = "herbarium-copier";
      made.severity = Severity::major;
      made.summary = "Paper is jammed.";
    }
    return made;
  }

  // The change happens now; gives what is new or changed because of it.
  Planner::Notices happen(const std::string& id, What what, const std::function<void(Incident&)>& change = {}) {
    auto& it = incident(id);
    if (what == What::raised) {
      it.state = Incident::State::raised;
      it.operator_state = OperatorState::none;
      it.raised_at = now;
      it.cleared_at.reset();
    }
    if (what == What::cleared) {
      it.state = Incident::State::cleared;
      it.cleared_at = now;
    }
    if (change) change(it);
    if (what != What::operator_action) it.changes.push_back({now, what, it.severity, it.kind, it.summary});
    const auto notices = planner.plan(Transition{what, now, it}, now);
    keep(notices);
    return notices;
  }
  Planner::Notices acted(const std::string& id, OperatorState state) {
    return happen(id, What::operator_action, [&](Incident& it) { it.operator_state = state; });
  }
  Planner::Notices tick() {
    const auto notices = planner.tick(now);
    keep(notices);
    return notices;
  }

  // Everything that is due is delivered (or parked), in order.
  std::vector<std::string> deliver(Notice::State how = Notice::State::delivered) {
    std::vector<std::string> told;
    for (bool again = true; std::exchange(again, false);) {
      for (auto& [number, notice] : outbox) {
        if (notice.state != Notice::State::waiting || notice.due > now) continue;
        notice.state = how;
        if (how == Notice::State::delivered)
          told.push_back(notice.incident + " " + std::string(to_text(notice.reason)));
        keep(planner.settled(Notice(notice), now));
        again = true;
        break;
      }
    }
    return told;
  }
  std::vector<std::string> waiting() const {
    std::vector<std::string> list;
    for (const auto& [number, notice] : outbox)
      if (notice.state == Notice::State::waiting)
        list.push_back(notice.incident + " " + std::string(to_text(notice.reason)));
    return list;
  }

  // The daemon stops and starts again with what a store keeps: see store::Store::outbox().
  void restart() {
    Planner::Notices rows;
    std::vector<Incident> raised;
    std::uint64_t last = 0;
    for (const auto& [number, notice] : outbox) {
      last = number;
      const bool open = incidents[notice.incident].state == Incident::State::raised;
      if (notice.state == Notice::State::waiting || notice.state == Notice::State::parked ||
          (notice.state == Notice::State::delivered && open))
        rows.push_back(notice);
    }
    for (const auto& [id, it] : incidents)
      if (it.state == Incident::State::raised) raised.push_back(it);
    planner = Planner();
    configure();
    keep(planner.restore(rows, raised, last));
  }
};

using Texts = std::vector<std::string>;

}  // namespace frisket::hooks
