// What people tell of upkeep: what lies on the shelf, what was serviced, what was complained of. The store keeps it.
//
// Pure values; any thread.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "daemon/upkeep/complaint.h"
#include "daemon/upkeep/ordering.h"

namespace frisket::upkeep {

// Of one part number, in pieces.
struct StockLevel {
  std::string part;
  Stock stock;
  friend bool operator==(const StockLevel&, const StockLevel&) = default;
};

// A task of the service plan that somebody has done.
struct ServiceDone {
  std::string device;
  std::string task;  // ServiceTask::key
  WallTime at;
  std::string by;    // may be empty
  std::string note;  // may be empty
  friend bool operator==(const ServiceDone&, const ServiceDone&) = default;
};

struct Complaint {
  std::string id;  // never used twice
  std::string device;
  std::string symptom;
  WallTime at;
  std::string by;     // may be empty
  std::string note;   // may be empty
  Known known;        // what was observed, by the daemon and by people
  std::string cause;  // what it was in the end; empty: not known yet
  std::optional<WallTime> closed_at;
  friend bool operator==(const Complaint&, const Complaint&) = default;
};

struct Books {
  std::map<std::string, Stock> stock;  // by part number
  std::vector<ServiceDone> done;       // in order of time
  std::vector<Complaint> complaints;   // in order of time
  friend bool operator==(const Books&, const Books&) = default;
};

}  // namespace frisket::upkeep
