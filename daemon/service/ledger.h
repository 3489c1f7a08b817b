// Between what is decided and what is told: everything is written down first.
//
// One change of an incident, what the rules remember of its device, and the notices that are to be told of it go to
// the store as one; the log, the board and the hooks are told when it is kept, or when it is known that it cannot
// be at the moment. On the io_context's thread; nothing here blocks it but open() and stop().
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "config/config.h"
#include "daemon/hooks/hooks.h"
#include "daemon/http/fleet_board.h"
#include "daemon/incidents/correlator.h"
#include "daemon/service/kept_readings.h"
#include "daemon/store/store_writer.h"
#include "daemon/upkeep/recorder.h"
#include "probes/clock/clock.h"

namespace frisket::service {

class Ledger {
 public:
  using Notices = hooks::Hooks::Notices;
  using Transitions = std::vector<incidents::Transition>;

  // All of them must outlive the ledger.
  Ledger(boost::asio::any_io_executor executor, Clock& clock, incidents::Correlator& correlator, hooks::Hooks& hooks,
         http::FleetBoard& board);
  ~Ledger();

  // Opens the store in that folder, and gives correlator, hooks and board what was kept. Before the first reading. If
  // the machine cannot (a folder that is missing, a disk that is full), the daemon goes on without, and
  // trouble() says so. Kind invalid: the store is of a newer version or another program; then it must not.
  model::Result<model::Done> open(const config::Config& config);

  // What a reading changed. `before` is the device's snapshot before it.
  void take(const model::DeviceReading& reading, const Transitions& transitions, const config::Config& config);
  // What something else changed: time, the configuration, a person. `told` is called when all have been told.
  void take(const Transitions& transitions, std::function<void()> told = {});

  // What became of notices.
  void keep(const Notices& notices);
  // New ones that nothing caused but time or the configuration.
  void keep_and_deliver(Notices notices);

  // Writes down what somebody changed, or was refused, and logs it. `kept` is called when that is kept, or when it is
  // known that it cannot be at the moment; maybe at once.
  void record(model::AuditRecord record, std::function<void()> kept = {});

  // Writes down what people told of upkeep. `kept` is called when that is kept, or when it is known that it cannot be
  // at the moment; maybe at once.
  void keep(store::Batch batch, std::function<void()> kept = {});

  // Asks the store on its thread, behind everything that was written before. `done` is called later, once; at once with
  // an error where there is no store.
  template <class T>
  void read(std::function<model::Result<T>(store::Store&)> ask, std::function<void(const model::Result<T>&)> done);

  // The newest first.
  using AuditRead = std::function<void(const model::Result<std::vector<model::AuditRecord>>&)>;
  void read_audit(const model::AuditWindow& window, AuditRead done);

  // As open() found them; empty and null without a store.
  upkeep::Books take_books() { return std::exchange(books_, {}); }
  std::unique_ptr<store::HistorySource> take_history_source() { return std::move(history_source_); }

  // Told of each supply that was replaced.
  void on_replacement(std::function<void(const incidents::Replacement&)> told) { replaced_ = std::move(told); }

  // Call every second.
  void tick(const config::Store& retention);

  http::FleetBoard::Health::Store health() const;

  // Writes what is left. Waits a few seconds at most. Nobody is told of anything any more.
  void stop();

 private:
  store::Batch batch_of(const Transitions& transitions);
  // Moves what the rules remember of the devices touched into the batch.
  void add_memories(store::Batch& batch);
  Notices plan(const Transitions& transitions);
  void write(store::Batch batch, Transitions transitions, Notices notices, std::function<void()> told);
  void tell(const Transitions& transitions, const Notices& notices);
  void note_trouble();
  void add_history(store::Batch& batch);
  void forget_old(const config::Store& retention);

  boost::asio::any_io_executor executor_;
  Clock& clock_;
  incidents::Correlator& correlator_;
  hooks::Hooks& hooks_;
  http::FleetBoard& board_;
  KeptReadings kept_readings_;
  upkeep::Recorder recorder_;
  std::vector<store::DeviceChanges> history_;   // still to be written
  std::unique_ptr<store::StoreWriter> writer_;  // null: nothing can be kept
  std::string no_store_;                        // why not
  std::string said_;                            // trouble that the log has
  model::SteadyTime flushed_at_{};
  model::SteadyTime watched_at_{};
  model::SteadyTime forgot_at_{};
  std::set<std::string> touched_;  // devices whose memory is still to be kept
  upkeep::Books books_;
  std::unique_ptr<store::HistorySource> history_source_;
  std::function<void(const incidents::Replacement&)> replaced_;
};

template <class T>
void Ledger::read(std::function<model::Result<T>(store::Store&)> ask,
                  std::function<void(const model::Result<T>&)> done) {
  if (!writer_) return done(model::Error{model::Error::Kind::local, "reading the store", "", no_store_});
  // Filled on the writing thread, read when that is done with it.
  const auto found = std::make_shared<std::optional<T>>();
  writer_->run(
      [ask = std::move(ask), found](store::Store& store) -> model::Result<model::Done> {
        auto answer = ask(store);
        if (!answer) return answer.error();
        *found = std::move(*answer);
        return model::Done{};
      },
      [found, done = std::move(done)](const model::Result<model::Done>& read) {
        if (read)
          done(std::move(**found));
        else
          done(read.error());
      });
}

}  // namespace frisket::service
