// What the routes of upkeep ask of the daemon.
//
// The service implements it. On the io_context's thread. What is answered later is answered once; never if the
// daemon stops meanwhile.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "daemon/upkeep/books.h"
#include "daemon/upkeep/fleet_reliability.h"
#include "daemon/upkeep/outlook.h"
#include "daemon/upkeep/round.h"
#include "daemon/upkeep/series.h"
#include "probes/model/result.h"

namespace frisket::http {

struct RoundAsked {
  std::string site;            // empty: all
  int days = 7;                // until the next visit
  std::optional<int> minutes;  // nothing: as long as it takes
};

struct StockAct {
  enum class What {
    set,      // so many lie on the shelf
    order,    // so many more are on order
    receive,  // so many came: they are no longer on order
    use,      // so many were taken from the shelf
  };
  What what = What::set;
  std::string part;
  int count = 0;
  std::optional<int> on_order{};  // of set; nothing: as it was
};

std::string_view to_text(StockAct::What what);

struct HistoryAsked {
  std::string device;
  std::optional<model::WallTime> from{};  // nothing: 90 days before `to`
  std::optional<model::WallTime> to{};    // nothing: now
  upkeep::Resolution resolution = upkeep::Resolution::day;
};

struct ToldHistory {
  upkeep::Span span;
  upkeep::PastLines lines;
};

struct ToldComplaint {
  upkeep::Complaint complaint;
  upkeep::Diagnosis diagnosis;
};

class Upkeep {
 public:
  virtual ~Upkeep() = default;

  // Null until it was first made. Valid until the next turn of the io_context.
  virtual const upkeep::Outlook* outlook() const = 0;
  virtual const upkeep::OutlookSetup* setup() const = 0;  // what it was made of; null with it
  virtual const upkeep::FleetReliability* reliability() const = 0;
  virtual const upkeep::Books& books() const = 0;
  virtual const upkeep::ComplaintTable& complaints() const = 0;  // as outcomes have moved it

  virtual upkeep::RoundPlan round(const RoundAsked& asked) const = 0;

  // Errors: invalid: more points than anybody looks at; local: the store cannot be read.
  using HistoryTold = std::function<void(const model::Result<ToldHistory>&)>;
  virtual void history(HistoryAsked asked, HistoryTold done) = 0;

  // Errors of kind invalid say what cannot be. `done` is called once it is kept.
  using StockTold = std::function<void(const model::Result<upkeep::StockLevel>&)>;
  virtual void stock(StockAct act, StockTold done) = 0;
  using ServiceTold = std::function<void(const model::Result<upkeep::TaskStatus>&)>;
  virtual void serviced(upkeep::ServiceDone done, ServiceTold told) = 0;
  // Of a device that is configured; what the daemon knows by itself is added to `known`. The id is given here.
  using ComplaintTold = std::function<void(const model::Result<ToldComplaint>&)>;
  virtual void complain(upkeep::Complaint complaint, ComplaintTold told) = 0;
  using OutcomeTold = std::function<void(const model::Result<upkeep::Complaint>&)>;
  virtual void outcome(const std::string& complaint, upkeep::Outcome outcome, OutcomeTold told) = 0;
};

}  // namespace frisket::http
