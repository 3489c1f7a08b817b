// One act on one queue: what it would do, what it did, and whether jobs flow afterwards.
//
// On the io_context's thread.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <string>
#include <vector>

#include "daemon/http/queue_acts.h"
#include "daemon/service/queue_hand.h"
#include "probes/clock/clock.h"

namespace frisket::service {

// How an act looks whether it helped.
struct Aftercare {
  std::chrono::seconds between{2};
  int looks = 6;  // at most; fewer if jobs flow before
};

// An act takes no longer than this before it is looked at, however many jobs it is about; jobs that are left say so.
inline constexpr std::chrono::seconds kLongestAct{60};

// Does it, or in a dry run says what it would do. Not for restart. `to_uri` is where jobs are moved to. The hand, clock
// and sleeper must outlive it; waking the sleeper ends the looking. Errors as http::Commands::QueueActed has them.
boost::asio::awaitable<model::Result<http::QueueActOutcome>> cure(QueueHand& hand, Clock& clock, Sleeper& sleeper,
                                                                  http::QueueAct act, std::string to_uri,
                                                                  Aftercare aftercare = {});

// ---- The parts that decide and the words; pure.

// The jobs that the act is about, as the queue lists them now. Kind::invalid: there is no such job.
model::Result<std::vector<http::ActedJob>> jobs_for(const http::QueueAct& act, const model::QueueSnapshot& queue);

// One sentence: what was, or would be, done.
std::string said_of(const http::QueueActOutcome& outcome);

// Whether nothing more is to be waited for.
bool is_settled(const http::QueueActOutcome& outcome, const model::QueueReading& now);

// What is seen of the queue now; never whose jobs they are.
std::string seen_of(const http::QueueActOutcome& outcome, const model::QueueReading& now);

}  // namespace frisket::service
