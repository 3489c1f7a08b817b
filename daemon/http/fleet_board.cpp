#include "daemon/http/fleet_board.h"

#include <algorithm>
#include <charconv>
#include <random>
#include <string_view>
#include <unordered_map>
#include <utility>

#include "daemon/http/device_entry.h"
#include "daemon/http/fleet_metrics.h"
#include "daemon/http/fleet_summary.h"
#include "daemon/http/incident_shelf.h"
#include "daemon/http/test_print_form.h"
#include "daemon/incidents/alarm_load.h"
#include "daemon/json/forms.h"

namespace frisket::http {

struct FleetBoard::State {
  State(std::string name, Bounds bounds)
      : run(std::move(name)), incidents(bounds.cleared, revisions), events(run, bounds.events) {}

  std::string run;
  Revisions revisions;

  std::vector<config::Site> sites;
  std::map<std::string, DeviceEntry> devices;
  std::unordered_map<std::string_view, DeviceEntry*> by_name;  // the same, for every reading's look-up
  IncidentShelf incidents;
  EventLog events;
  QueueBoard queues{events, revisions};
  std::function<Health()> health;
  std::string summary;  // of the fleet, without its time; empty: to be made again
  // The last answer of the fleet, without its time.
  std::shared_ptr<const std::string> fleet = std::make_shared<const std::string>();
  std::uint64_t fleet_version = 0;
  incidents::AlarmLoad load;
  std::string load_form;  // empty: to be made again
  model::WallTime load_made_at;
};

namespace {

constexpr std::chrono::seconds kLoadStands{10};

std::string new_run() {
  std::random_device source;
  std::string digits(8, '0');
  auto [end, error] = std::to_chars(digits.data(), digits.data() + digits.size(), source(), 16);
  digits.resize(static_cast<std::size_t>(end - digits.data()));
  return digits;
}

template <class T>
bool lets_through(const std::set<T>& wanted, const T& value) {
  return wanted.empty() || wanted.contains(value);
}

bool wants(const DeviceFilter& filter, const DeviceEntry& entry) {
  return lets_through(filter.names, entry.device().name) && lets_through(filter.sites, entry.device().site) &&
         lets_through(filter.states, entry.state());
}

bool wants(const IncidentFilter& filter, const incidents::Incident& incident) {
  return lets_through(filter.states, incident.state) && lets_through(filter.operator_states, incident.operator_state) &&
         lets_through(filter.severities, incident.severity) && lets_through(filter.sites, incident.site) &&
         (filter.kinds.empty() ||
          std::ranges::any_of(filter.kinds, [&](const auto& kind) { return incidents::concerns(incident, kind); })) &&
         (filter.devices.empty() || (incident.device && filter.devices.contains(*incident.device))) &&
         (filter.queues.empty() || (incident.queue && filter.queues.contains(*incident.queue)));
}

json::Json text_or_null(const std::string& text) { return text.empty() ? json::Json() : json::Json(text); }

json::Json notifications_form(const FleetBoard::Health::Notifications& health) {
  json::Json senders = json::Json::array();
  for (const auto& sender : health.unknown_senders)
    senders.push_back(
        {{"address", sender.address}, {"count", sender.count}, {"last_at", model::to_rfc3339(sender.last)}});
  return {{"listening", text_or_null(health.listening)},
          {"trouble", text_or_null(health.trouble)},
          {"counters", health.counters},
          {"unknown_senders", std::move(senders)}};
}

// "name/row", from the right: a name may contain a slash.
std::pair<std::string, std::int32_t> split_supply_key(const std::string& key) {
  const auto slash = key.rfind('/');
  if (slash == std::string::npos) return {key, 0};
  std::int32_t row = 0;
  std::from_chars(key.data() + slash + 1, key.data() + key.size(), row);
  return {key.substr(0, slash), row};
}

}  // namespace

FleetBoard::FleetBoard() : FleetBoard(new_run(), Bounds{}) {}
FleetBoard::FleetBoard(std::string run, Bounds bounds) : state_(std::make_unique<State>(std::move(run), bounds)) {}
FleetBoard::~FleetBoard() = default;

void FleetBoard::configure(const config::Config& config) {
  state_->sites = config.sites;
  std::map<std::string, DeviceEntry> devices;
  for (const auto& device : config.devices) {
    if (const auto known = state_->devices.find(device.name); known != state_->devices.end()) {
      known->second.configure(device);
      devices.insert(state_->devices.extract(known));
    } else {
      devices.try_emplace(device.name, device, state_->revisions);
    }
  }
  state_->devices = std::move(devices);
  state_->by_name.clear();
  for (auto& [name, entry] : state_->devices) state_->by_name.emplace(name, &entry);
  state_->summary.clear();
  const json::Json data = {{"devices", config.devices.size()}, {"sites", config.sites.size()}};
  state_->events.append("configuration", json::text_of(data));
}

void FleetBoard::publish_device(const std::string& name, const incidents::DeviceStatus& status, model::WallTime at) {
  const auto found = state_->by_name.find(name);
  if (found == state_->by_name.end()) return;
  auto& entry = *found->second;
  const auto state_before = entry.state();
  const bool changed = entry.publish(status);
  if (entry.state() != state_before) state_->summary.clear();
  if (!changed) return;
  const json::Json data = {
      {"name", name}, {"site", entry.device().site}, {"state", to_text(entry.state())}, {"at", model::to_rfc3339(at)}};
  state_->events.append("device", json::text_of(data));
}

void FleetBoard::publish_outlook(const upkeep::Outlook& outlook) {
  for (auto& [name, entry] : state_->devices) {
    const auto found = outlook.devices.find(name);
    entry.expect(found == outlook.devices.end() ? nullptr : found->second);
  }
}

void FleetBoard::publish_queue(const incidents::QueueStatus& status, model::WallTime at) {
  if (state_->queues.publish(status, at)) state_->summary.clear();
}

void FleetBoard::forget_queue(const std::string& name, model::WallTime at) {
  if (state_->queues.forget(name, at)) state_->summary.clear();
}

void FleetBoard::publish_transition(const incidents::Transition& transition) {
  state_->incidents.put(transition.incident);
  state_->summary.clear();
  state_->load.note(transition);
  state_->load_form.clear();
  state_->events.append("notice", json::text_of(json::notice_form(transition)));
}

void FleetBoard::publish_test_print(const TestPrintOutcome& outcome, model::WallTime at) {
  auto data = test_print_form(outcome);
  data["at"] = model::to_rfc3339(at);
  state_->events.append("testprint", json::text_of(data));
}

void FleetBoard::restore_incident(const incidents::Incident& incident) {
  state_->incidents.put(incident);
  state_->summary.clear();
}

void FleetBoard::restore_load(const std::vector<const incidents::Incident*>& incidents) {
  state_->load.restore(incidents);
  state_->load_form.clear();
}

void FleetBoard::set_health_source(std::function<Health()> source) { state_->health = std::move(source); }

Pieces FleetBoard::fleet(model::WallTime now) const {
  bool made_again = state_->summary.empty();
  if (made_again) {
    FleetSummary summary(state_->sites);
    for (const auto& [name, entry] : state_->devices) summary.count(entry);
    for (const auto& [name, entry] : state_->queues.entries()) summary.count(entry.status());
    for (const auto& [id, entry] : state_->incidents.entries()) summary.count(entry.incident);
    state_->summary = json::text_of(summary.form());
  }
  // The load changes by itself as time passes, but no figure of it by much in a few seconds.
  const auto age = now - state_->load_made_at;
  if (state_->load_form.empty() || age < age.zero() || age >= kLoadStands) {
    state_->load_form = json::text_of(json::alarm_load_form(state_->load.figures(now)));
    state_->load_made_at = now;
    made_again = true;
  }
  // The counts stand as they are until something changes; only the time is of this answer.
  if (made_again) {
    auto rest = state_->summary.substr(1, state_->summary.size() - 2) + R"(,"load":)" + state_->load_form + "}";
    if (rest != *state_->fleet) {
      state_->fleet = std::make_shared<const std::string>(std::move(rest));
      state_->fleet_version = state_->revisions.next();
    }
  }
  Pieces answer(R"({"made_at":")" + model::to_rfc3339(now) + R"(",)");
  answer.add(state_->fleet);
  return answer;
}

std::uint64_t FleetBoard::fleet_version() const { return state_->fleet_version; }

FleetBoard::Health FleetBoard::health_now(model::WallTime now) const {
  if (state_->health) return state_->health();
  Health health;
  health.started_at = now;
  health.configuration = "ok";
  return health;
}

std::string FleetBoard::metrics(model::WallTime now) const {
  const auto health = health_now(now);
  return fleet_metrics({state_->devices, state_->queues, state_->incidents, health, state_->events.subscribers()});
}

std::string FleetBoard::health(model::WallTime now) const {
  const auto health = health_now(now);
  const auto uptime = std::chrono::duration_cast<std::chrono::seconds>(now - health.started_at).count();
  const bool well =
      health.configuration == "ok" && health.notifications.trouble.empty() && health.store.trouble.empty();
  const json::Json form = {
      {"status", well ? "ok" : "attention"},
      {"configuration", health.configuration},
      {"started_at", model::to_rfc3339(health.started_at)},
      {"now", model::to_rfc3339(now)},
      {"uptime_seconds", uptime},
      {"devices", state_->devices.size()},
      {"polls", {{"finished", health.polls}, {"missed", health.polls_missed}, {"late", health.polls_late}}},
      {"event_streams", state_->events.subscribers()},
      {"snmp", health.snmp},
      {"ipp", health.ipp},
      {"queue_polls", health.queue_polls},
      {"hooks", health.hooks},
      {"each_hook", health.each_hook},
      {"store", {{"trouble", text_or_null(health.store.trouble)}, {"counters", health.store.counters}}},
      {"notifications", notifications_form(health.notifications)}};
  return json::text_of(form);
}

Slice FleetBoard::devices(const DeviceFilter& filter, const Window& window) const {
  SliceBuilder slice(window);
  for (auto place = state_->devices.upper_bound(window.after); place != state_->devices.end(); ++place)
    if (wants(filter, place->second) && !slice.add(place->second.form(), place->first, place->second.revision())) break;
  return slice.take();
}

std::optional<std::string> FleetBoard::device(const std::string& name) const {
  const auto found = state_->devices.find(name);
  if (found == state_->devices.end()) return std::nullopt;
  return std::string(found->second.form().object());
}

Slice FleetBoard::supplies(const SupplyFilter& filter, const Window& window) const {
  SliceBuilder slice(window);
  const auto [name_after, row_after] = split_supply_key(window.after);
  for (auto place = state_->devices.lower_bound(name_after); place != state_->devices.end(); ++place) {
    if (!wants(filter.device, place->second)) continue;
    for (const auto& supply : place->second.supplies()) {
      if (!window.after.empty() && place->first == name_after && supply.index <= row_after) continue;
      if (filter.low && *filter.low != supply.low) continue;
      const auto key = place->first + "/" + std::to_string(supply.index);
      if (!slice.add(supply.form, key, place->second.revision())) return slice.take();
    }
  }
  return slice.take();
}

Slice FleetBoard::incidents(const IncidentFilter& filter, const Window& window) const {
  SliceBuilder slice(window);
  const auto& entries = state_->incidents.entries();
  for (auto place = entries.upper_bound(window.after); place != entries.end(); ++place)
    if (wants(filter, place->second.incident) && !slice.add(place->second.form, place->first, place->second.revision))
      break;
  return slice.take();
}

std::optional<std::string> FleetBoard::incident(const std::string& id) const {
  const auto* entry = state_->incidents.find(id);
  if (entry == nullptr) return std::nullopt;
  return std::string(entry->form.object());
}

const config::Device* FleetBoard::configured(const std::string& device) const {
  const auto found = state_->devices.find(device);
  return found == state_->devices.end() ? nullptr : &found->second.device();
}

bool FleetBoard::has_site(const std::string& site) const {
  return std::ranges::find(state_->sites, site, &config::Site::name) != state_->sites.end();
}

json::Json FleetBoard::incidents_within(const std::string& device, model::WallTime from, model::WallTime to) const {
  json::Json found = json::Json::array();
  for (const auto& [id, entry] : state_->incidents.entries()) {
    const auto& incident = entry.incident;
    if (incident.device != device || incident.raised_at > to || incident.cleared_at.value_or(to) < from) continue;
    found.push_back(
        {{"id", id},
         {"kind", incident.kind},
         {"severity", to_text(incident.severity)},
         {"raised_at", model::to_rfc3339(incident.raised_at)},
         {"cleared_at", incident.cleared_at ? json::Json(model::to_rfc3339(*incident.cleared_at)) : json::Json()}});
  }
  return found;
}

std::uint64_t FleetBoard::device_version(const std::string& name) const {
  const auto found = state_->devices.find(name);
  return found == state_->devices.end() ? 0 : found->second.revision();
}

std::uint64_t FleetBoard::incident_version(const std::string& id) const {
  const auto* entry = state_->incidents.find(id);
  return entry == nullptr ? 0 : entry->revision;
}

std::string FleetBoard::tag(std::uint64_t version) const {
  return "W/\"" + state_->run + "-" + std::to_string(version) + '"';
}

const QueueBoard& FleetBoard::queues() const { return state_->queues; }

EventLog& FleetBoard::events() { return state_->events; }

}  // namespace frisket::http
