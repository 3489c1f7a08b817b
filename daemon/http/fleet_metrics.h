// GET /metrics: the fleet and the daemon in OpenMetrics. Each device's lines are made when something about it changed,
// so that a scrape of a large fleet is a copy. Pure but for those.
#pragma once

#include <string>

#include "daemon/http/device_entry.h"
#include "daemon/http/fleet_board.h"
#include "daemon/http/incident_shelf.h"

namespace frisket::http {

struct Measured {
  const std::map<std::string, DeviceEntry>& devices;
  const QueueBoard& queues;
  const IncidentShelf& incidents;
  const FleetBoard::Health& health;
  std::size_t event_readers = 0;
};

std::string fleet_metrics(const Measured& measured);

}  // namespace frisket::http
