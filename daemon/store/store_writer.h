// Writes to a store on a thread of its own, so that no disk holds up a poll.
//
// Batches are written in the order given; those that wait meanwhile share one commit, so none waits for a
// timer. While the store cannot be written, everybody is told at once that it is not kept, goes on, and the
// batches wait here until there is room again: nothing is lost up to a bound. All functions on the
// executor's thread; none of them blocks but stop().
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <chrono>
#include <cstdint>
#include <functional>
#include <memory>
#include <string>

#include "daemon/store/store.h"
#include "probes/model/time.h"

namespace frisket::store {

class StoreWriter {
 public:
  struct Bounds {
    std::size_t kept_back = 100'000;      // transitions; as many of each other kind of record. The oldest go first
    std::size_t kept_readings = 1'000;    // of those that wait
    std::size_t kept_history = 200'000;   // of those that wait: what so many readings changed
    std::chrono::seconds first_pause{1};  // before it is tried again; doubles
    std::chrono::seconds longest_pause{60};
    std::chrono::seconds patience{5};  // then nobody waits for the disk any longer
    std::chrono::seconds stop_wait{5};
  };

  StoreWriter(std::unique_ptr<Store> store, boost::asio::any_io_executor executor, Bounds bounds);
  StoreWriter(std::unique_ptr<Store> store, boost::asio::any_io_executor executor)
      : StoreWriter(std::move(store), std::move(executor), Bounds{}) {}
  ~StoreWriter();
  StoreWriter(const StoreWriter&) = delete;
  StoreWriter& operator=(const StoreWriter&) = delete;

  // `done` is called once, later, from the executor and in order: Done when the batch is kept; an error when it is
  // not, or not yet. After stop() none is called any more.
  using Written = std::function<void(const model::Result<model::Done>&)>;
  void write(Batch batch, model::SteadyTime now, Written done);

  // Something else to do with the store, in line with the batches: forgetting, a copy.
  using Task = std::function<model::Result<model::Done>(Store&)>;
  void run(Task task, Written done);

  // Tries again what could not be written, and stops waiting for a disk that hangs. Call every second or so.
  void tick(model::SteadyTime now);

  struct State {
    std::string trouble;        // why nothing can be written; empty: all is well
    std::size_t under_way = 0;  // batches that the thread has
    std::size_t kept_back = 0;  // records (records_in()) that wait until it can be written again
    std::uint64_t written = 0;  // batches
    std::uint64_t commits = 0;  // that it took
    std::uint64_t lost = 0;     // records beyond the bound, or that no retry could help
  };
  State state() const;

  // Writes what is under way, with a last try for what waits, and ends the thread. Waits stop_wait at most; a
  // thread that hangs longer is left behind. Takes no more afterwards.
  void stop();

 private:
  struct Desk;
  std::shared_ptr<Desk> desk_;  // shared with answers on their way
};

}  // namespace frisket::store
