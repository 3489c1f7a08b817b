#include "daemon/http/fleet_metrics.h"

#include <charconv>

#include "daemon/http/open_metrics.h"

namespace frisket::http {
namespace {

using incidents::DeviceState;
using model::Severity;

void add_counts(OpenMetrics& out, std::string_view name, std::string_view label,
                const std::map<std::string_view, std::uint64_t>& counts) {
  for (const auto& [word, count] : counts) out.sample(name, metric_labels({{label, word}}), count);
}

void add_totals(OpenMetrics& out, const Measured& measured) {
  std::map<std::string_view, std::uint64_t> states;
  for (const auto state : {DeviceState::ready, DeviceState::busy, DeviceState::attention, DeviceState::stopped,
                           DeviceState::silent, DeviceState::unknown})
    states[to_text(state)] = 0;
  for (const auto& [name, entry] : measured.devices) ++states[to_text(entry.state())];
  out.family("frisket_devices", "gauge", "", "Devices by state.");
  add_counts(out, "frisket_devices", "state", states);

  std::map<std::string_view, std::uint64_t> queues;
  for (const auto state : kQueueStates) queues[state] = 0;
  for (const auto& [name, entry] : measured.queues.entries()) ++queues[state_word(entry.status())];
  out.family("frisket_queues", "gauge", "", "Print queues by state.");
  add_counts(out, "frisket_queues", "state", queues);
}

void add_incidents(OpenMetrics& out, const Measured& measured) {
  std::map<std::pair<Severity, std::string_view>, std::uint64_t> open;
  std::uint64_t set_aside = 0;
  for (const auto& [id, entry] : measured.incidents.entries()) {
    if (is_open(entry.incident))
      ++open[{entry.incident.severity, entry.incident.kind}];
    else if (entry.incident.state == incidents::Incident::State::raised)
      ++set_aside;
  }
  out.family("frisket_incidents_open", "gauge", "", "Incidents that wait for somebody.");
  for (const auto& [which, count] : open)
    out.sample("frisket_incidents_open", metric_labels({{"severity", to_text(which.first)}, {"kind", which.second}}),
               count);
  out.family("frisket_incidents_set_aside", "gauge", "", "Raised incidents that somebody shelved or closed.");
  out.sample("frisket_incidents_set_aside", "", set_aside);
}

void add_devices(OpenMetrics& out, const std::map<std::string, DeviceEntry>& devices) {
  out.family("frisket_device", "info", "", "What each device is.");
  for (const auto& [name, entry] : devices) out.lines(entry.metrics().info);
  out.family("frisket_device_state", "stateset", "", "The state of each device.");
  for (const auto& [name, entry] : devices) out.lines(entry.metrics().states);
  out.family("frisket_device_impressions", "counter", "", "The page counter of each device that has one.");
  for (const auto& [name, entry] : devices) out.lines(entry.metrics().impressions);
  out.family("frisket_supply_remaining_ratio", "gauge", "ratio",
             "What is left of each supply, or the room left in a receptacle, where that is known.");
  for (const auto& [name, entry] : devices) out.lines(entry.metrics().supplies);
}

void add_polls(OpenMetrics& out, const FleetBoard::Health& health) {
  out.family("frisket_polls", "counter", "", "Polls of devices that are over.");
  out.sample("frisket_polls_total", metric_labels({{"outcome", "answered"}}), health.polls - health.polls_missed);
  out.sample("frisket_polls_total", metric_labels({{"outcome", "missed"}}), health.polls_missed);
  out.family("frisket_polls_late", "counter", "", "Polls that began more than half an interval after they were due.");
  out.sample("frisket_polls_late_total", "", health.polls_late);

  const auto& durations = health.poll_durations;
  out.family("frisket_poll_duration_seconds", "histogram", "seconds", "How long the polls of devices took.");
  std::uint64_t so_far = 0;
  for (std::size_t i = 0; i < durations.counts.size(); ++i) {
    so_far += durations.counts[i];
    std::string bound = "+Inf";
    if (i < durations.bounds.size()) {
      char digits[32];
      bound.assign(digits, std::to_chars(digits, digits + sizeof digits, durations.bounds[i]).ptr);
      if (bound.find('.') == bound.npos) bound += ".0";  // the specification's canonical form
    }
    out.sample("frisket_poll_duration_seconds_bucket", metric_labels({{"le", bound}}), so_far);
  }
  if (durations.counts.empty())
    out.sample("frisket_poll_duration_seconds_bucket", metric_labels({{"le", "+Inf"}}), so_far);
  out.sample("frisket_poll_duration_seconds_sum", "", durations.sum);
  out.sample("frisket_poll_duration_seconds_count", "", so_far);
}

std::uint64_t count_in(const std::map<std::string, std::uint64_t>& counters, const std::string& name) {
  const auto found = counters.find(name);
  return found == counters.end() ? 0 : found->second;
}

void add_hooks(OpenMetrics& out, const FleetBoard::Health& health) {
  out.family("frisket_notices_waiting", "gauge", "", "Notices that wait to be told, by hook.");
  for (const auto& [hook, counters] : health.each_hook)
    out.sample("frisket_notices_waiting", metric_labels({{"hook", hook}}), count_in(counters, "waiting"));
  out.family("frisket_notices", "counter", "", "Notices that were told, or given up, by hook.");
  for (const auto& [hook, counters] : health.each_hook)
    for (const std::string outcome : {"told", "parked"})
      out.sample("frisket_notices_total", metric_labels({{"hook", hook}, {"outcome", outcome}}),
                 count_in(counters, outcome));
}

void add_daemon(OpenMetrics& out, const Measured& measured) {
  const auto& health = measured.health;
  const auto started = std::chrono::duration<double>(health.started_at.time_since_epoch()).count();
  out.family("frisket_start_time_seconds", "gauge", "seconds", "When the daemon started, since the UNIX epoch.");
  out.sample("frisket_start_time_seconds", "", started);
  out.family("frisket_event_readers", "gauge", "", "Open event streams.");
  out.sample("frisket_event_readers", "", std::uint64_t{measured.event_readers});
  out.family("frisket_store_lag", "gauge", "",
             "Transitions, notices and audit records that the store cannot take yet.");
  out.sample("frisket_store_lag", "", count_in(health.store.counters, "kept_back"));
  out.family("frisket_store_trouble", "gauge", "", "1 while the store cannot be written.");
  out.sample("frisket_store_trouble", "", std::uint64_t{health.store.trouble.empty() ? 0U : 1U});
  out.family("frisket_configuration_refused", "gauge", "", "1 while the last reload of the configuration is refused.");
  out.sample("frisket_configuration_refused", "", std::uint64_t{health.configuration == "ok" ? 0U : 1U});
}

}  // namespace

std::string fleet_metrics(const Measured& measured) {
  OpenMetrics out;
  add_totals(out, measured);
  add_incidents(out, measured);
  add_devices(out, measured.devices);
  add_polls(out, measured.health);
  add_hooks(out, measured.health);
  add_daemon(out, measured);
  return out.take();
}

}  // namespace frisket::http
