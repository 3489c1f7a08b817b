// What the LPD probe reads, for the tests against real print servers. Not installed.
//
//   lpd_dump HOST PORT QUEUE short|long
//
// Writes one JSON object.
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <iostream>
#include <nlohmann/json.hpp>

#include "probes/clock/clock.h"
#include "probes/lpd/queue_probe.h"
#include "probes/lpd/queue_state.h"

int main(int count, char** words) {
  using namespace frisket;
  if (count != 5) return 2;
  const auto port = static_cast<std::uint16_t>(std::stoul(words[2]));
  const auto target = lpd::target_of(words[1], port, words[3]);
  if (!target) {
    std::cerr << target.error().text() << "\n";
    return 2;
  }
  boost::asio::io_context context;
  SystemClock clock;
  const auto form = std::string(words[4]) == "long" ? lpd::Form::full : lpd::Form::brief;
  std::exception_ptr failure;
  model::LpdReading reading;
  auto work = lpd::read_queue_state(clock, *target, form);
  boost::asio::co_spawn(context, std::move(work), [&](std::exception_ptr what, model::LpdReading got) {
    failure = what;
    reading = std::move(got);
  });
  context.run();
  if (failure) std::rethrow_exception(failure);
  nlohmann::json json = {{"queue", reading.queue},   {"reach", std::string(model::to_text(reading.reach))},
                         {"detail", reading.detail}, {"accepting", nullptr},
                         {"jobs", nullptr},          {"lines", reading.personal.lines}};
  if (reading.accepting) json["accepting"] = *reading.accepting;
  if (reading.jobs_listed) json["jobs"] = *reading.jobs_listed;
  // The same as a queue of any kind.
  const auto as_queue = lpd::queue_reading_of(reading, "old", *target);
  json["queued"] = nullptr;
  if (as_queue.snapshot && as_queue.snapshot->queued_count) json["queued"] = *as_queue.snapshot->queued_count;
  std::cout << json.dump() << std::endl;
  return 0;
}
