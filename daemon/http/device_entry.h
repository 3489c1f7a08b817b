// One device as the board keeps it: its state, and its JSON made when first asked for.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "config/config.h"
#include "daemon/http/device_metrics.h"
#include "daemon/http/kept_form.h"
#include "daemon/http/revisions.h"
#include "daemon/incidents/correlator.h"
#include "daemon/upkeep/outlook.h"

namespace frisket::http {

class DeviceEntry {
 public:
  // The revisions must outlive the entry.
  DeviceEntry(config::Device device, Revisions& revisions)
      : device_(std::move(device)), revisions_(revisions), revision_(revisions.next()) {}

  // A change of its configuration.
  void configure(const config::Device& device);

  // Takes the state after a reading. True if anything but counters and times differs from
  // before, so that somebody who looks at the device wants to look again.
  bool publish(const incidents::DeviceStatus& status);

  // What is to come for it; null: not known.
  void expect(std::shared_ptr<const upkeep::DeviceOutlook> outlook);

  const config::Device& device() const { return device_; }
  incidents::DeviceState state() const { return status_.state; }

  // Of the form: it stays the same while nothing but the time of the last reading changes.
  std::uint64_t revision() const { return revision_; }

  // As GET /v1/devices/{name} gives it. Valid until the entry changes.
  const KeptForm& form() const;

  // Its lines in GET /metrics. Valid until the entry changes.
  const DeviceMetrics& metrics() const;

  // As GET /v1/supplies lists them, in order of row.
  struct SupplyItem {
    std::int32_t index = 0;
    bool low = false;
    KeptForm form;
  };
  const std::vector<SupplyItem>& supplies() const;

 private:
  void refresh() const;
  void outdate();

  config::Device device_;
  Revisions& revisions_;
  std::uint64_t revision_;
  incidents::DeviceStatus status_;
  std::shared_ptr<const upkeep::DeviceOutlook> outlook_;

  mutable bool stale_ = true;
  mutable KeptForm form_;
  mutable std::vector<SupplyItem> supplies_;
  mutable DeviceMetrics metrics_;
  mutable std::uint64_t measured_ = 0;  // the revision that metrics_ is of
};

}  // namespace frisket::http
