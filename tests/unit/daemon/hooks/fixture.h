// Hooks whose programs are small scripts that the test writes.
#pragma once

#include <spdlog/sinks/ostream_sink.h>
#include <spdlog/spdlog.h>

#include <boost/asio/io_context.hpp>
#include <catch2/catch.hpp>
#include <chrono>
#include <memory>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "daemon/hooks/hooks.h"
#include "simulated_clock.h"
#include "temporary_folder.h"

namespace frisket::hooks {

using incidents::Transition;

// When the notices of these tests happen.
inline const model::WallTime kNoticed = *model::from_rfc3339("2026-11-25T08:00:00Z");

// A notice about the incident of that id: a tray left open on the herbarium's copier.
inline Transition notice(std::string id, Transition::What what = Transition::What::raised) {
  Transition transition;
  transition.what = what;
  transition.at = kNoticed;
  auto& incident = transition.incident;
  incident.id = std::move(id);
  incident.kind = "input-tray-missing";
  incident.device = "herbarium-copier";
  incident.site = "glasshouse";
  incident.subunit = model::Subunit{model::Subunit::Kind::input, 2};
  incident.place = "Tray 2";
  incident.severity = model::Severity::major;
  incident.raised_at = incident.changed_at = transition.at;
  incident.summary = "Tray 2 is open or missing.";
  incident.remedy.steps = {"Close tray 2."};
  if (what == Transition::What::cleared) {
    incident.state = incidents::Incident::State::cleared;
    incident.cleared_at = transition.at;
  }
  return transition;
}

// What a hook of that name, which wants everything, is told of it.
inline Notice planned(const Transition& transition, const std::string& hook = "desk") {
  Planner planner;
  config::Config config;
  config.hooks.emplace_back().name = hook;
  planner.configure(config);
  return planner.plan(transition, transition.at).at(0);
}

struct Desk {
  boost::asio::io_context context;
  TemporaryFolder folder;
  std::ostringstream log;
  std::shared_ptr<spdlog::logger> logger_before = spdlog::default_logger();
  testing::SimulatedClock clock{context};  // stands still: nothing is tried again unless a test advances it
  Hooks hooks{context.get_executor(), clock, all_transports(context.get_executor()), 1, {}};

  Desk() {
    auto sink = std::make_shared<spdlog::sinks::ostream_sink_st>(log);
    auto logger = std::make_shared<spdlog::logger>("", std::move(sink));
    logger->set_pattern("%l %v");
    spdlog::set_default_logger(std::move(logger));
    clock.advance(kNoticed - clock.wall_now());
  }
  ~Desk() {
    hooks.stop();
    spdlog::set_default_logger(logger_before);
  }
  Desk(const Desk&) = delete;
  Desk& operator=(const Desk&) = delete;

  // A hook that runs these lines of POSIX sh; the folder is its first argument.
  config::Hook script(const std::string& name, const std::string& lines) {
    config::Hook hook;
    hook.name = name;
    hook.program = folder.write(name, "#!/bin/sh\n" + lines + "\n", 0700);
    hook.arguments = {folder.path().string()};
    return hook;
  }

  void configure(std::vector<config::Hook> list) {
    config::Config config;
    config.hooks = std::move(list);
    hooks.deliver(hooks.configure(config));
  }

  void tell(const Transition& transition) { hooks.deliver(hooks.plan(transition)); }

  struct Counters : Delivery::Counters {
    std::uint64_t dropped = 0;
    std::uint64_t refused = 0;
  };
  Counters counters() const {
    const auto counted = hooks.counters();
    return {counted.delivery, counted.planner.dropped, counted.planner.refused};
  }

  // Runs the io_context until the predicate holds. The guard is for a machine that is very busy;
  // nothing waits for it to pass.
  template <class Predicate>
  bool run_until(Predicate predicate) {
    const auto guard = std::chrono::steady_clock::now() + std::chrono::seconds(60);
    context.restart();
    while (!predicate() && std::chrono::steady_clock::now() < guard)
      context.run_for(std::chrono::milliseconds(2)), context.restart();
    return predicate();
  }

  // Until everything was told, or failed and waits for its next attempt.
  bool run_until_told() {
    return run_until([this] { return counters().running == 0 && context.poll() == 0; });
  }

  std::string logged() {
    spdlog::default_logger()->flush();
    return log.str();
  }
};

}  // namespace frisket::hooks
