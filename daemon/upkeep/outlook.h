// What is to come for the whole fleet: dates of supplies, meter readings, service, what to order.
//
// Made once a night from the devices' histories, of which two years do not fit into memory at once: so they are asked
// for one by one, twice. The first time for what the devices have in common (the season and course of a site, the
// consumption of a part), the second for each device's own figures. Later in the day one device can be looked at again
// by itself. Pure but for the histories asked for; any thread.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "daemon/upkeep/device_forecast.h"
#include "daemon/upkeep/ordering.h"
#include "daemon/upkeep/service_plan.h"
#include "daemon/upkeep/told_history.h"
#include "probes/model/identity.h"

namespace frisket::upkeep {

// Shared: most devices have the same.
using Tasks = std::shared_ptr<const std::vector<ServiceTask>>;

// A device as the configuration and its last reading have it.
struct OutlookDevice {
  std::string name;
  std::string site;
  model::Identity identity;          // as far as it is known
  Tasks tasks;                       // that apply to it; null: none
  std::vector<TaskDone> tasks_done;  // their instants count, not their impressions
};

struct OutlookSetup {
  std::vector<OutlookDevice> devices;         // in order of name
  std::map<std::string, Calendar> calendars;  // by site; of each site of a device
  std::map<std::string, Part> parts;          // by number: those that are configured
  Supplier supplier;                          // of the others
  std::map<std::string, Stock> stock;         // by part number

  const OutlookDevice* device(const std::string& name) const;
};

// What devices have in common, as far as their histories show it.
struct FleetCommon {
  std::map<std::string, std::optional<Season>> seasons;      // by site
  std::map<std::string, std::optional<SiteCourse>> courses;  // by site
  std::map<std::string, PartPrior> priors;                   // by part number
};

struct SupplyOutlook {
  SupplyStated what;
  std::string part;  // empty: not known
  DepletionForecast forecast;
  std::optional<double> whole_lasts;  // days that a whole new one is expected to last
};

inline constexpr std::chrono::days kLately{90};

struct DeviceOutlook {
  std::string name;
  std::string site;
  model::Identity identity;                 // with the serial number that was kept, until another is read
  WallTime seen;                            // what it is the outlook of: when the device was last heard
  bool counts = false;                      // it has a page counter
  std::vector<SupplyOutlook> supplies;      // those that are there, in order of index
  std::vector<MonthReading> months;         // the oldest first
  std::vector<MonthReading> colour_months;  // of the impressions in colour; none where the device does not tell
  std::vector<MeterEvent> events;           // of the counter, in order
  std::optional<WallTime> printed_at;       // the last time; nothing: never, or not known
  double lately = 0;                        // impressions of the last kLately days
  std::vector<Span> unobserved;             // of those days
  std::optional<double> a_day;              // impressions expected of a day, over the coming four weeks
  std::vector<TaskStatus> tasks;

  const SupplyOutlook* supply(std::int32_t index) const;
};

struct Outlook {
  WallTime made_at;
  std::map<std::string, std::shared_ptr<const DeviceOutlook>> devices;  // by name
  std::vector<OrderLine> order;                                         // what is wanted first
  std::shared_ptr<const FleetCommon> common;
};

// Empty changes: the device has no history yet.
using HistoryOf = std::function<Changes(const std::string& device)>;

Outlook look_ahead(const OutlookSetup& setup, const HistoryOf& history_of, WallTime now);

// The same with one device (of the setup) looked at again, and the order list made anew.
Outlook look_again(const Outlook& before, const OutlookSetup& setup, const std::string& device,
                   const HistoryOf& history_of, WallTime now);

// One line for each part that is used or stocked (outlook_order.cpp).
std::vector<OrderLine> order_of(const OutlookSetup& setup,
                                const std::map<std::string, std::shared_ptr<const DeviceOutlook>>& devices,
                                WallTime now);

}  // namespace frisket::upkeep
