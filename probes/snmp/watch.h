// The one request of a poll at which nothing has happened.
//
// A device's inventory, names and capacities stand still until prtGeneralConfigChanges moves, and
// its alert rows until prtAlertAllEvents does (RFC 3805 section 2.2.13 and prtGeneralConfigChanges).
// So most polls ask only for what moves by itself: the status, the counters, the levels, the
// page counter and one column of each known alert row. Counters never count an alert's end:
// that is seen by the row that is not there any more. A device without the counters is asked by
// GETNEXT instead of GET: the walk from each alert row to the next shows what is new in the same
// request.
//
// The watch says what to ask, puts the answer into the last snapshot, and says which
// tables have to be read again. Pure; any thread.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string_view>
#include <vector>

#include "probes/model/device.h"
#include "probes/model/time.h"
#include "probes/snmp/decode.h"
#include "probes/snmp/pdu.h"
#include "probes/snmp/plan.h"

namespace frisket::snmp {

// Whether the device's counters of alert rows can be gone by.
enum class AlertCounters { trusted, not_trusted };

class Watch {
 public:
  // Octets of the answer that the request is meant to bring (see TableWalk::kAnswerOctets).
  static constexpr std::size_t kAnswerOctets = 1340;

  // One cell of a table, or, for a scalar, its place in mib::scalars as the column.
  struct Item {
    static constexpr std::uint8_t kScalar = 0xff;
    std::uint8_t table = kScalar;
    std::uint8_t column = 0;
    std::int32_t row = 0;
    friend bool operator==(const Item&, const Item&) = default;
  };

  // Watches nothing.
  Watch() = default;

  // What moves on this device, without the cells that it is known to lack. What would make the answer
  // longer than `octets` is left out, the least telling first.
  Watch(const model::DeviceSnapshot& snapshot, DeviceIndex index, AlertCounters counters = AlertCounters::trusted,
        const std::vector<Item>& lacking = {}, std::size_t octets = kAnswerOctets);

  bool empty() const { return items_.empty(); }

  // How many names() there are.
  std::size_t size() const { return items_.size(); }

  // Get or get_next.
  Operation operation() const { return chained_ ? Operation::get_next : Operation::get; }

  // sysUpTime first, if the device has it: it is all that differs between two answers of a
  // device that stands still.
  std::vector<Oid> names() const;

  bool up_time_first() const {
    return !chained_ && !items_.empty() && items_[0] == Item{Item::kScalar, mib::scalar::sys_up_time, 0};
  }

  // How many cells of the tables of the inventory are watched.
  std::size_t cells() const;

  // Tables of which something that moves did not fit.
  TableSet left_out() const { return left_out_; }

  // What one answer means.
  struct Outcome {
    // With the values of the answer. The very same object as before when nothing but
    // sysUpTime differs; its system.up_time is that of the last difference.
    std::shared_ptr<const model::DeviceSnapshot> snapshot;
    TableSet again;                        // tables that have to be read again
    std::vector<Item> gone;                // cells without a value: lacking, if reading again does not bring them back
    bool alerts_gone = false;              // there were alert rows, and none of them is there any more
    bool everything = false;               // the device has restarted or is another one: all has to be read again
    std::optional<std::uint32_t> up_time;  // sysUpTime, 1/100 s
  };

  // `answers` has one variable for each of names(), in that order; one without a value stands for an
  // object that is gone.
  Outcome take(const std::vector<VarBind>& answers, const std::shared_ptr<const model::DeviceSnapshot>& before) const;

 private:
  class Filler;
  class Patch;

  Oid name_of(const Item& item) const;
  bool is_answer_to(const Item& item, const VarBind& answer) const;
  bool alerts_are_gone(const std::vector<VarBind>& answers, const model::DeviceSnapshot& before) const;

  std::vector<Item> items_;
  DeviceIndex index_;
  bool chained_ = false;         // by GETNEXT; the alert rows at the end are a chain
  std::uint16_t alerts_at_ = 0;  // where in items_ the alert rows begin; they are the last
  TableSet left_out_;
};

// Whether a device whose sysUpTime was `before` and is `now`, with so much time between, has started
// again. The counter of 1/100 s wraps after 497 days; a reading that is a little early or late
// is no restart.
bool has_restarted(std::uint32_t before, std::uint32_t now, model::SteadyTime::duration between);

}  // namespace frisket::snmp
