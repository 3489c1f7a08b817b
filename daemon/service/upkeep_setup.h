// What the outlook is made of, from what is configured, known of the devices, and told by people. Pure.
#pragma once

#include <functional>
#include <memory>
#include <string>

#include "config/config.h"
#include "daemon/incidents/correlator.h"
#include "daemon/upkeep/books.h"
#include "daemon/upkeep/observations.h"
#include "daemon/upkeep/outlook.h"

namespace frisket::service {

// Null for a device that was not read yet.
using SnapshotOf = std::function<const model::DeviceSnapshot*(const std::string& device)>;

// Holidays of each year are laid out from three years before `now` to three after.
std::shared_ptr<const upkeep::OutlookSetup> outlook_setup(const config::Config& config, const SnapshotOf& snapshot_of,
                                                          const upkeep::Books& books, model::WallTime now);

// The built-in tasks with the configured ones laid over them: one of a built-in name takes that task's place for the
// devices it is for, and takes over its cautions and steps.
std::vector<upkeep::ServiceTask> tasks_for(const config::Config& config, const config::Device& device,
                                           const std::string& model, upkeep::Marking marking);

// From the markers' technology, and the supplies where that is not told. Toner, where nothing is.
upkeep::Marking marking_of(const model::DeviceSnapshot& snapshot);

std::vector<upkeep::SupplyNow> supplies_of(const model::DeviceSnapshot& snapshot,
                                           const std::vector<incidents::Condition>& conditions);

}  // namespace frisket::service
