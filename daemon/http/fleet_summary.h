// The counts of GET /v1/fleet.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "config/config.h"
#include "daemon/http/device_entry.h"
#include "daemon/incidents/incident.h"
#include "daemon/incidents/queue_status.h"
#include "daemon/json/forms.h"

namespace frisket::http {

class FleetSummary {
 public:
  explicit FleetSummary(const std::vector<config::Site>& sites);

  void count(const DeviceEntry& entry);

  // Of a queue without a site only the fleet's count has it.
  void count(const incidents::QueueStatus& queue);

  // Counted where it is open. Must stay alive until form() has been called.
  void count(const incidents::Incident& incident);

  // {"devices": ..., "queues": ..., "incidents": ..., "worst": ..., "sites": [...]}
  json::Json form() const;

 private:
  struct Counts {
    std::map<incidents::DeviceState, std::size_t> devices;
    std::map<std::string_view, std::size_t> queues;
    std::map<model::Severity, std::size_t> open;
    std::size_t set_aside = 0;  // raised, but shelved or closed by the operator
  };
  struct Place {
    std::string name;
    json::Json time_zone;  // null for a site that is no longer configured
    Counts counts;
  };

  Counts& at(const std::string& site);
  static json::Json devices_form(const Counts& counts);
  static json::Json queues_form(const Counts& counts);
  static json::Json incidents_form(const Counts& counts);

  Counts all_;
  std::vector<Place> places_;
  std::map<std::string, std::size_t> place_of_;
  const incidents::Incident* worst_ = nullptr;
};

}  // namespace frisket::http
