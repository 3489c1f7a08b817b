// One simulated printer: what state its parts are in, and what its agent says of that.
//
// Events change parts; from the parts follow the conditions (conditions.cpp), from those
// the alert table, sub-unit status, hrDeviceStatus, hrPrinterStatus, error bits and panel,
// as RFC 3805 means them. So no event can leave them contradicting each other.
// Time only moves in advance_to() and apply(), which get it handed in. One thread.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "tests/simfleet/event.h"
#include "tests/simfleet/fault.h"
#include "tests/simfleet/model.h"
#include "tests/simfleet/view.h"

namespace frisket::simfleet {

struct Identity {
  std::string name;
  std::uint32_t address = 0;  // IPv4, host byte order, in 127.0.0.0/8
  std::string site;
  std::string location;
  std::string serial;
  std::string community;
};

// What a device starts with besides its model.
struct Start {
  std::uint32_t pages = 0;         // life count
  std::int64_t up_ms = 3'600'000;  // how long it has been on
  double rate = 0;                 // pages a minute, while it can print
  std::int64_t tended_ms = -1;     // after so long someone refills what is empty; negative: never
};

struct Timed {
  SimTime at{0};
  Event event;
};

// How the agent behaves towards the network.
struct Manners {
  bool off = false;
  std::int64_t delay_ms = 0;
  double loss = 0;  // share of datagrams, each way, that vanish
  Fault fault = Fault::none;
  double fault_share = 0;  // share of answers
};

// One thing that is so about one part, as the alert table will tell it.
struct Condition {
  std::int32_t severity = 5;  // PrtAlertSeverityLevelTC
  std::int32_t training = 3;  // PrtAlertTrainingLevelTC
  Subunit subunit;
  std::int32_t location = 0;
  std::int32_t code = 1;       // PrtAlertCodeTC
  std::uint16_t bits = 0;      // hrPrinterDetectedErrorState, bit 0 the top bit
  const char* text = "ready";  // key of Model::texts; nullptr: `own`
  bool unavailable = false;    // the part cannot be used
  std::string own;

  bool same_alert(const Condition& other) const {
    return severity == other.severity && subunit == other.subunit && location == other.location && code == other.code;
  }
};

// A row that came into the alert table.
struct AlertAdded {
  std::uint32_t index = 0;
  std::uint32_t up_time = 0;  // sysUpTime
  Condition condition;
};

class Device {
 public:
  Device(Identity identity, std::shared_ptr<const Model> model, Start start, std::vector<Timed> time_line,
         SimTime repeat);

  const Identity& identity() const { return identity_; }
  const Model& model() const { return *model_; }
  const Manners& manners() const { return manners_; }

  // Lets pages be printed and the time line happen up to `now`. Earlier times are ignored.
  void advance_to(SimTime now);
  void apply(const Event& event, SimTime now);

  // When something happens next by itself; nullopt: never.
  std::optional<SimTime> next_change() const;

  // What its agent would answer from. Valid until the next advance_to() or apply().
  View view(SimTime now) const;

  // One line about its state, for the control channel.
  std::string summary() const;

  std::uint64_t requests = 0;  // that reached it; kept by the server

  // Told of every critical row that is added, once its agent would answer with it.
  std::function<void(const Device&, const AlertAdded&)> on_critical;

 private:
  struct Tray {
    bool present = true;
    std::int32_t level = 0;
    std::string media;
  };
  struct Bin {
    bool present = true;
    std::int32_t room = 0;
  };
  struct Supply {
    bool present = true;
    double level = 0;  // in the kind's unit; a receptacle's is the room left
  };
  struct AlertRow {
    std::uint32_t index = 0;
    std::uint32_t raised = 0;  // sysUpTime
    Condition condition;
  };

  // conditions.cpp
  std::vector<Condition> conditions() const;
  void add_cover_conditions(std::vector<Condition>& into) const;
  void add_input_conditions(std::vector<Condition>& into) const;
  void add_output_conditions(std::vector<Condition>& into) const;
  void add_supply_conditions(std::vector<Condition>& into) const;
  bool feeds(std::size_t input) const;

  // device.cpp
  void settle(SimTime now);
  void update_alerts(const std::vector<Condition>& now_so, SimTime now);
  bool make_room_for(const Condition& condition);
  void print_page();
  void switch_on(SimTime now);
  void tend(SimTime now);
  std::uint32_t uptime(SimTime now) const;
  bool warming(SimTime now) const;
  bool printing() const { return can_print_ && rate_ > 0; }

  // device_values.cpp
  void fill(const std::vector<Condition>& now_so, SimTime now);
  void fill_slot(const Slot& slot, const std::vector<Condition>& now_so, SimTime now);
  void fill_extras();
  std::int32_t subunit_status(Subunit subunit, const std::vector<Condition>& now_so) const;
  std::pair<std::int32_t, std::int32_t> host_status(const std::vector<Condition>& now_so, SimTime now) const;
  std::string error_state(const std::vector<Condition>& now_so) const;
  std::string console_text(std::size_t line, const std::vector<Condition>& now_so, SimTime now) const;
  bool light(const LightKind& kind, bool blinking_part, const std::vector<Condition>& now_so) const;
  std::string describe(const Condition& condition) const;

  Identity identity_;
  std::shared_ptr<const Model> model_;
  Manners manners_;

  std::vector<bool> covers_open_;
  std::vector<Tray> trays_;
  std::vector<Bin> bins_;
  std::vector<Supply> supplies_;
  std::vector<Subunit> jams_;
  std::vector<Subunit> broken_;
  std::vector<std::string> console_;  // own text by line; empty: what follows from the state
  std::vector<Condition> raw_alerts_;
  std::vector<Extra> overrides_;
  std::vector<Oid> hidden_;
  bool offline_ = false;

  double rate_ = 0;
  bool can_print_ = true;
  SimTime next_page_{0};
  std::int64_t tended_ms_;
  std::optional<SimTime> tend_at_;
  SimTime now_{0};
  SimTime switched_on_{0};
  std::int64_t up_before_ms_;
  std::uint32_t life_ = 0;
  std::uint32_t power_on_ = 0;

  std::vector<Timed> time_line_;
  std::size_t next_event_ = 0;
  SimTime time_line_base_{0};
  SimTime repeat_{0};

  std::vector<AlertRow> alerts_;
  std::vector<AlertAdded> untold_;  // critical rows added in this settle()
  std::vector<Condition> waiting_;  // pushed out of a full table, to return when there is room
  std::uint32_t last_alert_ = 0;
  std::uint32_t critical_events_ = 0;
  std::uint32_t all_events_ = 0;
  std::uint32_t config_changes_ = 0;
  std::uint32_t device_errors_ = 0;
  std::uint32_t link_errors_ = 0;

  Filled filled_;
  std::vector<Extra> extras_;
};

}  // namespace frisket::simfleet
