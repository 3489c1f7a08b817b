// One device's lines in GET /metrics, a text for each metric family that has some. Pure.
#pragma once

#include <string>

#include "config/config.h"
#include "daemon/incidents/correlator.h"

namespace frisket::http {

struct DeviceMetrics {
  std::string info;
  std::string states;
  std::string impressions;
  std::string supplies;
};

DeviceMetrics device_metrics(const config::Device& device, const incidents::DeviceStatus& status);

}  // namespace frisket::http
