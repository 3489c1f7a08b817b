#include "daemon/service/ledger.h"

#include <spdlog/spdlog.h>

#include <algorithm>
#include <iterator>
#include <system_error>
#include <utility>

#include "daemon/json/forms.h"
#include "daemon/service/escaped.h"
#include "daemon/store/sqlite_store.h"

namespace frisket::service {
namespace {

using namespace std::chrono_literals;
using incidents::What;

// What the rules remember and no incident shows, and the history, is kept at the latest after this.
constexpr auto kFlush = 5s;
constexpr auto kForget = 1h;
// How exactly it is known afterwards when the daemon stopped watching.
constexpr auto kWatch = 1min;

spdlog::level::level_enum log_level(const incidents::Transition& transition) {
  const bool bad = transition.what == What::raised || transition.what == What::changed;
  return bad && transition.incident.severity >= model::Severity::major ? spdlog::level::warn : spdlog::level::info;
}

void log_transition(const incidents::Transition& transition) {
  const auto& incident = transition.incident;
  spdlog::log(log_level(transition), "[incident-{}] {} {} {} {}: {}", incidents::to_text(transition.what), incident.id,
              model::to_text(incident.severity), incident.kind,
              incident.device.value_or(incident.queue.value_or(incident.site)), incident.summary);
}

// In quotes and in ASCII: a target is whatever somebody asked for.
std::string in_one_line(const std::string& text) {
  return json::Json(text).dump(-1, ' ', true, json::Json::error_handler_t::replace);
}

void log_record(const model::AuditRecord& record) {
  using Outcome = model::AuditRecord::Outcome;
  spdlog::log(record.outcome == Outcome::refused ? spdlog::level::warn : spdlog::level::info,
              "[audit] {} at {}: {} {} {}{}{}", record.who, record.peer, in_one_line(record.what),
              in_one_line(record.target), to_text(record.outcome), record.reason.empty() ? "" : ": ",
              record.reason.empty() ? "" : in_one_line(record.reason));
}

template <class T>
void log_error(const model::Result<T>& result) {
  if (!result) spdlog::error("[store-unread] {}", result.error().text());
}

}  // namespace

Ledger::Ledger(boost::asio::any_io_executor executor, Clock& clock, incidents::Correlator& correlator,
               hooks::Hooks& hooks, http::FleetBoard& board)
    : executor_(std::move(executor)), clock_(clock), correlator_(correlator), hooks_(hooks), board_(board) {}

Ledger::~Ledger() { stop(); }

model::Result<model::Done> Ledger::open(const config::Config& config) {
  const auto now = clock_.wall_now();
  std::error_code ignored;
  std::filesystem::create_directory(config.daemon.state_dir, ignored);  // what is wrong with it, opening will say
  auto opened = store::open_sqlite(config.daemon.state_dir / store::kStoreFile, now);
  if (!opened) {
    if (opened.error().kind == model::Error::Kind::invalid) return opened.error();
    no_store_ = opened.error().text();
    spdlog::error("[store-missing] nothing is kept over a restart: {}", no_store_);
    return model::Done{};
  }
  for (const auto& finding : opened->findings) spdlog::error("[store-damaged] {}", finding);
  auto& kept = *opened->store;
  auto memory = kept.memory();
  auto outbox = kept.outbox();
  const auto number = kept.last_notice_number();
  const auto watched_until = kept.watched_until();
  log_error(watched_until);
  if (watched_until) recorder_ = upkeep::Recorder(*watched_until);
  log_error(memory);
  log_error(outbox);
  log_error(number);
  auto books = kept.books();
  log_error(books);
  if (books) books_ = std::move(*books);
  auto source = kept.history_source();
  log_error(source);
  if (source) history_source_ = std::move(*source);
  for (const auto& finding : kept.take_findings()) spdlog::error("[store-damaged] {}", finding);
  writer_ = std::make_unique<store::StoreWriter>(std::move(opened->store), executor_);

  Transitions transitions;
  std::vector<incidents::Incident> raised;
  if (memory) {
    for (const auto& incident : memory->incidents) {
      board_.restore_incident(incident);
      if (incident.state == incidents::Incident::State::raised) raised.push_back(incident);
    }
    transitions = correlator_.restore(std::move(*memory), now);
    board_.restore_load(correlator_.incidents());
  }
  const auto dropped = hooks_.restore(outbox ? std::move(*outbox) : Notices{}, raised, number ? *number : 0);
  if (!raised.empty()) spdlog::info("[restored] {} incidents go on", raised.size());
  keep(dropped);
  take(transitions);
  return model::Done{};
}

store::Batch Ledger::batch_of(const Transitions& transitions) {
  store::Batch batch;
  batch.transitions = transitions;
  batch.replacements = correlator_.take_replacements();
  if (replaced_)
    for (const auto& replacement : batch.replacements) replaced_(replacement);
  batch.last_id = correlator_.last_id();
  if (!transitions.empty()) {
    add_memories(batch);
    add_history(batch);
  }
  return batch;
}

void Ledger::add_memories(store::Batch& batch) {
  touched_.merge(correlator_.take_touched());
  for (const auto& name : std::exchange(touched_, {}))
    if (const auto* memory = correlator_.memory_of(name)) batch.devices.emplace(name, *memory);
}

void Ledger::add_history(store::Batch& batch) {
  if (history_.empty()) return;
  batch.history = std::exchange(history_, {});
  batch.watched_until = clock_.wall_now();
}

Ledger::Notices Ledger::plan(const Transitions& transitions) {
  Notices notices;
  for (const auto& transition : transitions) std::ranges::move(hooks_.plan(transition), std::back_inserter(notices));
  return notices;
}

void Ledger::take(const model::DeviceReading& reading, const Transitions& transitions, const config::Config& config) {
  auto fresh = correlator_.take_touched();
  if (writer_)
    if (auto changes = recorder_.take(reading); !changes.empty())
      history_.push_back({reading.device, std::move(changes)});
  if (fresh.empty() && transitions.empty()) return;  // most readings: the device stands still
  touched_.merge(fresh);
  const auto* status = correlator_.device(reading.device);
  const auto* memory = correlator_.memory_of(reading.device);
  auto batch = batch_of(transitions);
  const bool wanted =
      writer_ && status != nullptr && memory != nullptr &&
      kept_readings_.wants(reading, *status, *memory, !transitions.empty(), config.polling.silent_after);
  if (wanted) batch.readings.push_back(reading);
  if (!batch.empty()) write(std::move(batch), transitions, plan(transitions), {});
}

void Ledger::take(const Transitions& transitions, std::function<void()> told) {
  if (!transitions.empty()) return write(batch_of(transitions), transitions, plan(transitions), std::move(told));
  if (told) told();
}

void Ledger::keep(const Notices& notices) {
  if (notices.empty() || !writer_) return;
  store::Batch batch;
  batch.notices = notices;
  writer_->write(std::move(batch), clock_.steady_now(), {});
}

void Ledger::keep_and_deliver(Notices notices) {
  if (notices.empty()) return;
  write({}, {}, std::move(notices), {});
}

void Ledger::write(store::Batch batch, Transitions transitions, Notices notices, std::function<void()> told) {
  batch.notices = notices;
  auto then = [this, transitions = std::move(transitions), notices = std::move(notices),
               told = std::move(told)](const model::Result<model::Done>&) {
    tell(transitions, notices);
    if (told) told();
  };
  if (writer_)
    writer_->write(std::move(batch), clock_.steady_now(), std::move(then));
  else
    then(model::Done{});
}

void Ledger::tell(const Transitions& transitions, const Notices& notices) {
  for (const auto& transition : transitions) {
    log_transition(transition);
    board_.publish_transition(transition);
  }
  hooks_.deliver(notices);
}

void Ledger::record(model::AuditRecord record, std::function<void()> kept) {
  record = model::bounded(std::move(record));
  log_record(record);
  store::Batch batch;
  batch.audit.push_back(std::move(record));
  keep(std::move(batch), std::move(kept));
}

void Ledger::keep(store::Batch batch, std::function<void()> kept) {
  auto then = [kept = std::move(kept)](const model::Result<model::Done>&) {
    if (kept) kept();
  };
  if (writer_)
    writer_->write(std::move(batch), clock_.steady_now(), std::move(then));
  else
    then(model::Done{});
}

void Ledger::read_audit(const model::AuditWindow& window, AuditRead done) {
  read<std::vector<model::AuditRecord>>([window](store::Store& store) { return store.audit(window); }, std::move(done));
}

void Ledger::tick(const config::Store& retention) {
  if (!writer_) return;
  const auto now = clock_.steady_now();
  writer_->tick(now);
  note_trouble();
  if (now - flushed_at_ >= kFlush) {
    flushed_at_ = now;
    store::Batch batch;
    batch.last_id = correlator_.last_id();
    add_memories(batch);
    add_history(batch);
    if (now - watched_at_ >= kWatch) {
      watched_at_ = now;
      batch.watched_until = clock_.wall_now();
    }
    if (!batch.empty()) writer_->write(std::move(batch), now, {});
  }
  if (now - forgot_at_ >= kForget) {
    forgot_at_ = now;
    forget_old(retention);
  }
}

void Ledger::forget_old(const config::Store& retention) {
  const store::Retention kept{retention.incidents, retention.notices, retention.readings, retention.audit,
                              retention.history};
  writer_->run([kept, now = clock_.wall_now()](store::Store& store) { return store.forget(kept, now); },
               [](const model::Result<model::Done>& result) {
                 if (!result) spdlog::warn("[store-trouble] {}", result.error().text());
               });
}

// Once when it begins, once when it is over.
void Ledger::note_trouble() {
  const auto trouble = writer_->state().trouble;
  if (trouble == said_) return;
  if (trouble.empty())
    spdlog::info("[store-well] what was kept back is written");
  else if (said_.empty())
    spdlog::error("[store-trouble] incidents are told and not kept: {}", trouble);
  said_ = trouble;
}

http::FleetBoard::Health::Store Ledger::health() const {
  http::FleetBoard::Health::Store health;
  health.trouble = no_store_;
  if (!writer_) return health;
  const auto state = writer_->state();
  health.trouble = state.trouble;
  health.counters = {{"written", state.written},
                     {"commits", state.commits},
                     {"under_way", state.under_way},
                     {"kept_back", state.kept_back},
                     {"lost", state.lost}};
  return health;
}

void Ledger::stop() {
  if (!writer_) return;
  for (auto& [device, changes] : recorder_.flush()) history_.push_back({device, std::move(changes)});
  store::Batch batch;
  add_history(batch);
  batch.watched_until = clock_.wall_now();
  writer_->write(std::move(batch), clock_.steady_now(), {});
  writer_->stop();
}

}  // namespace frisket::service
