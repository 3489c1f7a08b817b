// Reads one print queue that is known by LPD only, in the same shape as the IPP probe does.
//
// Read only: RFC 1179 can remove jobs, and nothing here does. The owner must not start a second poll() before the first
// has ended, and must outlive it. The clock must outlive the probe. On the io_context's thread.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <string>
#include <utility>

#include "probes/clock/clock.h"
#include "probes/lpd/queue_state.h"
#include "probes/lpd/target.h"
#include "probes/model/lpd.h"
#include "probes/model/queue.h"

namespace frisket::lpd {

// What was understood, in the words that all queues are told in. Pure.
//
// No state, no reasons and no single jobs: the text of a print server tells none of them in a form that could be relied
// on. queued_count is the number of jobs it lists, jobs_known is false.
model::QueueReading queue_reading_of(const model::LpdReading& reading, std::string name, const Target& target);

class QueueProbe {
 public:
  QueueProbe(Clock& clock, std::string name, Target target, Limits limits = {})
      : clock_(clock), name_(std::move(name)), target_(std::move(target)), limits_(limits) {}

  // Always ends with a reading, within Limits::exchange. One connection; the short form is asked.
  boost::asio::awaitable<model::QueueReading> poll();

 private:
  Clock& clock_;
  std::string name_;
  Target target_;
  Limits limits_;
};

}  // namespace frisket::lpd
