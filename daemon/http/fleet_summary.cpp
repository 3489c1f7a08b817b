#include "daemon/http/fleet_summary.h"

#include <array>

#include "daemon/http/incident_shelf.h"
#include "daemon/http/queue_board.h"

namespace frisket::http {
namespace {

using incidents::DeviceState;
using model::Severity;

constexpr std::array kStates = {DeviceState::ready,   DeviceState::busy,   DeviceState::attention,
                                DeviceState::stopped, DeviceState::silent, DeviceState::unknown};
constexpr std::array kSeverities = {Severity::critical, Severity::major, Severity::minor, Severity::warning};

template <class Key>
std::size_t count_of(const std::map<Key, std::size_t>& counts, Key key) {
  const auto found = counts.find(key);
  return found == counts.end() ? 0 : found->second;
}

template <class Key>
std::size_t sum_of(const std::map<Key, std::size_t>& counts) {
  std::size_t sum = 0;
  for (const auto& [key, count] : counts) sum += count;
  return sum;
}

}  // namespace

FleetSummary::FleetSummary(const std::vector<config::Site>& sites) {
  for (const auto& site : sites) {
    place_of_.emplace(site.name, places_.size());
    places_.push_back({site.name, site.time_zone, {}});
  }
}

FleetSummary::Counts& FleetSummary::at(const std::string& site) {
  const auto [place, is_new] = place_of_.try_emplace(site, places_.size());
  if (is_new) places_.push_back({site, nullptr, {}});
  return places_[place->second].counts;
}

void FleetSummary::count(const DeviceEntry& entry) {
  ++all_.devices[entry.state()];
  ++at(entry.device().site).devices[entry.state()];
}

void FleetSummary::count(const incidents::QueueStatus& queue) {
  ++all_.queues[state_word(queue)];
  if (!queue.site.empty()) ++at(queue.site).queues[state_word(queue)];
}

void FleetSummary::count(const incidents::Incident& incident) {
  if (is_open(incident)) {
    ++all_.open[incident.severity];
    ++at(incident.site).open[incident.severity];
    if (worst_ == nullptr || before(incident, *worst_)) worst_ = &incident;
  } else if (incident.state == incidents::Incident::State::raised) {
    ++all_.set_aside;
    ++at(incident.site).set_aside;
  }
}

json::Json FleetSummary::devices_form(const Counts& counts) {
  json::Json form = {{"total", sum_of(counts.devices)}};
  for (const auto state : kStates) form[std::string(to_text(state))] = count_of(counts.devices, state);
  return form;
}

json::Json FleetSummary::queues_form(const Counts& counts) {
  json::Json form = {{"total", sum_of(counts.queues)}};
  for (const auto state : kQueueStates) form[std::string(state)] = count_of(counts.queues, state);
  return form;
}

json::Json FleetSummary::incidents_form(const Counts& counts) {
  json::Json form = {{"open", sum_of(counts.open)}};
  for (const auto severity : kSeverities) form[std::string(model::to_text(severity))] = count_of(counts.open, severity);
  form["set_aside"] = counts.set_aside;
  return form;
}

json::Json FleetSummary::form() const {
  json::Json sites = json::Json::array();
  for (const auto& place : places_)
    sites.push_back({{"name", place.name},
                     {"time_zone", place.time_zone},
                     {"devices", devices_form(place.counts)},
                     {"queues", queues_form(place.counts)},
                     {"incidents", incidents_form(place.counts)}});
  return {{"devices", devices_form(all_)},
          {"queues", queues_form(all_)},
          {"incidents", incidents_form(all_)},
          {"worst", worst_ == nullptr ? json::Json() : json::incident_form(*worst_)},
          {"sites", std::move(sites)}};
}

}  // namespace frisket::http
