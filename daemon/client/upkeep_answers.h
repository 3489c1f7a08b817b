// What the daemon answers about orders, stock, service, meters and the past (docs/api.md), decoded into values.
//
// As answers.h. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "daemon/client/answers.h"

namespace frisket::client {

// A list that rests on forecasts, with when they were made; nothing: not yet since the daemon started.
template <class T>
struct Foreseen {
  std::vector<T> items;
  std::optional<WallTime> made_at;
};

struct OrderLine {
  std::string part;
  std::string maker;
  std::string description;
  std::string colorant;
  std::string supplier;
  std::int64_t count = 0;  // to order now
  std::optional<std::int64_t> pack_size;
  std::optional<std::int64_t> packs;
  std::optional<std::int64_t> on_hand;
  std::optional<std::int64_t> on_order;
  std::optional<std::int64_t> reorder_point;
  std::optional<WallTime> order_by;  // at the latest
  std::optional<WallTime> runs_out_first;
  std::vector<std::string> for_devices;
  std::vector<std::string> undated;  // devices that use the part and have no date
  std::optional<double> demand_days;
  std::optional<double> demand_mean;
  std::string why;
};

struct StockLine {
  std::string part;
  std::optional<std::int64_t> on_hand;
  std::optional<std::int64_t> on_order;
};

// Cautions come before steps wherever they are told.
struct Remedy {
  std::vector<std::string> cautions;
  std::vector<std::string> steps;
};

struct ServiceTask {
  std::string id;  // "DEVICE:TASK"
  std::string device;
  std::string site;
  std::string location;
  std::string task;
  std::string title;
  std::string state;            // "later", "soon", "due", "overdue"
  std::optional<double> share;  // of the interval that has run out
  std::optional<WallTime> due_at;
  std::optional<Saying> last_done;   // without a state
  std::optional<double> last_count;  // what the page counter showed then
  std::optional<double> minutes;
  std::string why;
  Remedy remedy;
};

struct MeterReading {
  std::string device;
  std::string site;
  std::string serial;
  std::string maker;
  std::string model;
  std::string month;  // "2026-10"
  std::optional<double> impressions;
  std::vector<std::string> flags;
  std::optional<double> colour;      // nothing: the device does not tell
  std::optional<double> monochrome;  // nothing: likewise, or the two do not fit together
  std::vector<std::string> colour_flags;
};

struct Series {
  std::string name;  // "impressions", "supply:1"
  std::string unit;  // "impressions", "percent"
  std::string description;
  std::vector<Point> points;
};

struct Span {
  std::optional<WallTime> from;
  std::optional<WallTime> to;
};

// An incident of the past.
struct PastIncident {
  std::string id;
  std::string kind;
  std::optional<Severity> severity;
  std::optional<WallTime> raised_at;
  std::optional<WallTime> cleared_at;
};

struct History {
  std::string device;
  std::optional<WallTime> from;
  std::optional<WallTime> to;
  std::string resolution;  // "raw", "hour", "day", "week"
  std::vector<Series> series;
  std::vector<Span> unobserved;
  std::vector<PastIncident> incidents;
};

// Of list objects, {"items": [...], "made_at": ...}.
Result<Foreseen<OrderLine>> orders_from(const Json& list);
Result<Foreseen<ServiceTask>> service_tasks_from(const Json& list);
Result<Foreseen<StockLine>> stock_from(const Json& list);
Result<Foreseen<MeterReading>> meter_from(const Json& list);

Result<StockLine> stock_line_from(const Json& line);
Result<ServiceTask> service_task_from(const Json& task);
Result<History> history_from(const Json& history);

// The cautions and steps that stand in an object.
Remedy remedy_in(const Fields& fields);

}  // namespace frisket::client
