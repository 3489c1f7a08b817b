// The thread behind a StoreWriter, and what goes to it and comes back. Inside daemon/store only.
#pragma once

#include <condition_variable>
#include <deque>
#include <functional>
#include <memory>
#include <mutex>
#include <thread>
#include <vector>

#include "daemon/store/store.h"

namespace frisket::store {

struct Job {
  Batch batch;
  std::function<model::Result<model::Done>(Store&)> task{};  // instead of a batch
  bool again = false;  // everything that could not be written before; nothing else is written before it
};

struct Outcome {
  model::Result<model::Done> result;
  Batch batch{};  // comes back if a retry may help
  bool again = false;
  bool of_batch = false;
  bool ends_commit = false;  // the last of the batches that were written together
  std::uint64_t lost = 0;    // transitions, notices and audit records that no retry can help
};

class WriteThread {
 public:
  // `finished` is called on the thread when there is something to collect().
  using Finished = std::function<void()>;
  WriteThread(std::unique_ptr<Store> store, Finished finished);

  // Any thread.
  void give(Job job);

  // What became of the jobs that are done, in order, each once. Any thread.
  std::vector<Outcome> collect();

  // Waits until all jobs are done. False if they are not after so long.
  bool settle(std::chrono::milliseconds wait);

  // Ends the thread when all jobs are done. False if it has not ended after so long; then it is left behind, and
  // calls `finished` no more.
  bool end(std::chrono::milliseconds wait);

 private:
  struct Shared;
  static void work(const std::shared_ptr<Shared>& shared);

  std::shared_ptr<Shared> shared_;
  std::thread thread_;
};

}  // namespace frisket::store
