#include "probes/lpd/queue_probe.h"

#include <memory>

namespace frisket::lpd {

model::QueueReading queue_reading_of(const model::LpdReading& reading, std::string name, const Target& target) {
  model::QueueReading made;
  made.queue = std::move(name);
  made.at = reading.at;
  made.reach = reading.reach;
  made.detail = reading.detail;
  if (reading.reach != model::QueueReach::answered) return made;
  model::QueueSnapshot said;
  said.uri = uri_of(target);
  said.name = target.queue;
  said.accepting = reading.accepting;
  said.queued_count = reading.jobs_listed;
  said.gaps.emplace_back("LPD tells neither state nor reasons, and of jobs only how many there are");
  if (!reading.jobs_listed) said.gaps.emplace_back("the print server's list of jobs was not understood");
  made.snapshot = std::make_shared<const model::QueueSnapshot>(std::move(said));
  return made;
}

boost::asio::awaitable<model::QueueReading> QueueProbe::poll() {
  const auto reading = co_await read_queue_state(clock_, target_, Form::brief, limits_);
  co_return queue_reading_of(reading, name_, target_);
}

}  // namespace frisket::lpd
