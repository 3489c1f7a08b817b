// Keeps what is to come for the fleet up to date, and the books on stock, service and complaints.
//
// The outlook takes a core some seconds for a thousand devices, so it is made on a thread of its own, from the
// store's history: soon after the start, then again and again, after sixty times as long as it took, an hour at the
// least and a day at the most. A device of which a supply was replaced or that was serviced is looked at again by
// itself. All functions on the io_context's thread; none blocks but stop(), for as long as one device takes.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <memory>
#include <set>
#include <string>

#include "config/config.h"
#include "daemon/http/fleet_board.h"
#include "daemon/http/upkeep.h"
#include "daemon/incidents/correlator.h"
#include "daemon/incidents/incident_id.h"
#include "daemon/service/ledger.h"
#include "daemon/upkeep/observations.h"
#include "daemon/upkeep/visit.h"
#include "probes/clock/clock.h"

namespace frisket::service {

class UpkeepDesk final : public http::Upkeep {
 public:
  // All of them must outlive the desk.
  struct Around {
    Clock& clock;
    const config::Config& config;
    const incidents::Correlator& correlator;
    Ledger& ledger;
    http::FleetBoard& board;
  };

  UpkeepDesk(boost::asio::any_io_executor executor, Around around);
  ~UpkeepDesk() override;

  // After Ledger::open(). Without a store there is no outlook, and nothing that people tell is kept.
  void start();
  void configure();  // after a reload
  void replaced(const incidents::Replacement& replacement);
  void tick();  // every second
  void stop();

  const upkeep::Outlook* outlook() const override { return outlook_.get(); }
  const upkeep::OutlookSetup* setup() const override { return outlook_ ? setup_.get() : nullptr; }
  const upkeep::FleetReliability* reliability() const override { return reliability_.get(); }
  const upkeep::Books& books() const override { return books_; }
  const upkeep::ComplaintTable& complaints() const override { return table_; }

  upkeep::RoundPlan round(const http::RoundAsked& asked) const override;
  void history(http::HistoryAsked asked, HistoryTold done) override;
  void stock(http::StockAct act, StockTold done) override;
  void serviced(upkeep::ServiceDone done, ServiceTold told) override;
  void complain(upkeep::Complaint complaint, ComplaintTold told) override;
  void outcome(const std::string& complaint, upkeep::Outcome outcome, OutcomeTold told) override;

 private:
  struct Job;
  struct Made;
  class Thread;

  void look();
  void take(Made made);
  void keep_stock(const upkeep::StockLevel& level, std::function<void()> kept);
  void reestimate();
  upkeep::DeviceNow now_of(const upkeep::Complaint& complaint, model::WallTime now) const;

  boost::asio::any_io_executor executor_;
  Around around_;
  upkeep::Books books_;
  upkeep::ComplaintTable table_ = upkeep::default_complaints();
  incidents::IncidentIds complaint_ids_;  // of the same form
  std::unique_ptr<Thread> thread_;        // null: there is no history
  std::shared_ptr<const upkeep::OutlookSetup> setup_;
  std::shared_ptr<const upkeep::Outlook> outlook_;
  std::shared_ptr<const upkeep::FleetReliability> reliability_;
  bool looking_ = false;
  int looks_ = 0;                     // at all devices, since the start
  model::SteadyTime began_{};         // the last look
  model::SteadyTime look_at_{};       // the next at all devices
  std::set<std::string> look_again_;  // devices
  bool reconfigured_ = false;         // nothing but a look at all devices fits the configuration
  bool count_again_ = false;          // the stock has changed
};

}  // namespace frisket::service
