#include "daemon/service/queue_desk.h"

#include <spdlog/spdlog.h>

#include <algorithm>
#include <utility>

#include "daemon/http/queue_act_body.h"
#include "daemon/service/escaped.h"
#include "daemon/service/queue_cure.h"
#include "probes/ipp/queue_probe.h"
#include "probes/lpd/queue_probe.h"

namespace frisket::service {
namespace {

namespace asio = boost::asio;
using http::QueueAct;
using http::QueueActOutcome;
using incidents::QueueStatus;
using model::Error;
using What = QueueAct::What;

// After a restart: ten looks, a few seconds apart.
constexpr Aftercare kAfterRestart{std::chrono::seconds{3}, 10};
constexpr std::size_t kAuditLooked = 5000;

Error invalid(const std::string& queue, std::string what) { return {Error::Kind::invalid, "", queue, std::move(what)}; }

using QueueByIpp = ProbeOver<model::QueueReading, ipp::QueueProbe>;
using QueueByLpd = ProbeOver<model::QueueReading, lpd::QueueProbe>;
using SpoolerByIpp = ProbeOver<model::SpoolerReading, ipp::SpoolerProbe>;

}  // namespace

QueueDesk::QueueDesk(asio::any_io_executor executor, Parts parts)
    : executor_(executor),
      parts_(parts),
      pollers_(executor, parts.clock,
               {[this](const config::Queue& queue) -> std::unique_ptr<QueueAsker> {
                  if (queue.lpd) return std::make_unique<QueueByLpd>(parts_.clock, queue.name, *queue.lpd);
                  return std::make_unique<QueueByIpp>(parts_.transport, parts_.clock, queue.name, queue.target);
                },
                [this](const config::Spooler& spooler) {
                  return std::make_unique<SpoolerByIpp>(parts_.transport, parts_.clock, spooler.name, spooler.target);
                }},
               {[this](const model::QueueReading& reading) { take(reading); },
                [this](const model::SpoolerReading& reading) { take(reading); }}),
      restarts_(executor, parts.clock),
      tasks_(executor, log_escaped) {}

void QueueDesk::configure() {
  pollers_.configure(parts_.config);
  publish_if([](const QueueStatus&) { return true; });
  forget_gone();
}

void QueueDesk::take(const model::QueueReading& reading) {
  parts_.ledger.take(parts_.correlator.apply(reading));
  publish(reading.queue);
  cure_what_may_be();
}

void QueueDesk::take(const model::SpoolerReading& reading) {
  parts_.ledger.take(parts_.correlator.apply(reading));
  publish_if([&](const QueueStatus& status) { return status.spooler == reading.spooler; });
  forget_gone();
  cure_what_may_be();
}

void QueueDesk::publish(const std::string& queue) {
  if (const auto* status = parts_.correlator.queue(queue)) parts_.board.publish_queue(*status, parts_.clock.wall_now());
}

void QueueDesk::publish_if(const std::function<bool(const QueueStatus&)>& wanted) {
  const auto now = parts_.clock.wall_now();
  for (const auto* status : parts_.correlator.queues())
    if (wanted(*status)) parts_.board.publish_queue(*status, now);
}

void QueueDesk::forget_gone() {
  std::vector<std::string> gone;
  for (const auto& [name, entry] : parts_.board.queues().entries())
    if (parts_.correlator.queue(name) == nullptr) gone.push_back(name);
  for (const auto& name : gone) parts_.board.forget_queue(name, parts_.clock.wall_now());
}

void QueueDesk::device_changed(const std::string& device) {
  publish_if([&](const QueueStatus& status) { return status.device == device; });
}

std::optional<ipp::Target> QueueDesk::target_of(const QueueStatus& status) const {
  if (const auto* queue = parts_.config.find_queue(status.name)) return queue->target;
  const auto* spooler = parts_.config.find_spooler(status.spooler);
  if (spooler == nullptr) return std::nullopt;
  const auto target = ipp::beside(spooler->target, status.uri);
  return target ? std::optional(*target) : std::nullopt;
}

model::Result<std::string> QueueDesk::uri_to_move_to(const QueueAct& act, const QueueStatus& from) const {
  if (act.what != What::move_waiting) return std::string();
  const auto* to = parts_.correlator.queue(act.to);
  if (to == nullptr) return invalid(act.queue, "no queue " + act.to + " is known");
  const auto here = target_of(from);
  const auto there = target_of(*to);
  if (!here || !there || here->endpoint() != there->endpoint())
    return invalid(act.queue, "the queue " + act.to + " is on another print service; jobs cannot go there");
  if (to->snapshot && !to->snapshot->accepting.value_or(true))
    return invalid(act.queue, "the queue " + act.to + " takes no jobs");
  return there->uri;
}

void QueueDesk::act(QueueAct act, http::Commands::QueueActed done) {
  const auto queue = act.queue;
  if (stopping_) return;
  if (!busy_.insert(queue).second) return done(invalid(queue, "something else is being done to this queue just now"));
  tasks_.spawn("act on " + queue, run(std::move(act), std::move(done)));
}

asio::awaitable<void> QueueDesk::run(QueueAct act, http::Commands::QueueActed done) {
  const auto queue = act.queue;
  const auto outcome = co_await act_on(std::move(act));
  busy_.erase(queue);
  if (stopping_) co_return;
  const auto* status = parts_.correlator.queue(queue);
  if (status != nullptr) pollers_.poll_soon(queue, status->spooler);
  done(outcome);
}

asio::awaitable<QueueDesk::Acted> QueueDesk::act_on(QueueAct act) {
  const auto* status = parts_.correlator.queue(act.queue);
  if (status == nullptr) co_return invalid(act.queue, "no such queue is known");
  if (act.what == What::restart) {
    auto spooler = status->spooler;
    co_return co_await restart(std::move(act), std::move(spooler));
  }
  auto target = target_of(*status);
  if (!target) co_return invalid(act.queue, "it is not known how to reach it");
  auto to_uri = uri_to_move_to(act, *status);
  if (!to_uri) co_return to_uri.error();
  co_return co_await cure_queue(std::move(act), std::move(*target), std::move(*to_uri));
}

asio::awaitable<QueueDesk::Acted> QueueDesk::cure_queue(QueueAct act, ipp::Target target, std::string to_uri) {
  IppQueueHand hand(parts_.transport, parts_.clock, act.queue, std::move(target));
  const std::shared_ptr<Sleeper> sleeper = parts_.clock.make_sleeper(executor_);
  waiting_.insert(sleeper);
  auto outcome = co_await cure(hand, parts_.clock, *sleeper, std::move(act), std::move(to_uri));
  waiting_.erase(sleeper);
  co_return outcome;
}

asio::awaitable<QueueDesk::Acted> QueueDesk::restart(QueueAct act, std::string name) {
  const auto* found = parts_.config.find_spooler(name);
  if (found == nullptr) co_return invalid(act.queue, "it is behind no [[spooler]], so nothing can be restarted");
  if (found->restart_program.empty())
    co_return invalid(act.queue, "no restart_program is configured for the spooler " + name);
  const auto spooler = *found;  // the configuration may change meanwhile
  QueueActOutcome outcome;
  outcome.act = std::move(act);
  if (outcome.act.dry_run) {
    outcome.said = "The print service " + name + ", with all its queues, would be started again.";
    co_return outcome;
  }
  const auto ran = co_await restarts_.run(spooler);
  if (!ran) co_return ran.error();
  outcome.said = "The print service " + name + " was started again.";
  ipp::SpoolerProbe probe(parts_.transport, parts_.clock, name, spooler.target);
  const std::shared_ptr<Sleeper> sleeper = parts_.clock.make_sleeper(executor_);
  waiting_.insert(sleeper);
  for (int look = 0; look < kAfterRestart.looks; ++look) {
    if (co_await sleeper->until(parts_.clock.steady_now() + kAfterRestart.between) == Sleeper::Woke::early) break;
    const auto reading = co_await probe.poll();
    if (reading.reach == model::QueueReach::answered) {
      outcome.afterwards = "It answers, with " + std::to_string(reading.queues.size()) + " queues.";
      break;
    }
    outcome.afterwards = "It does not answer yet: " + reading.detail;
  }
  waiting_.erase(sleeper);
  co_return outcome;
}

void QueueDesk::cure_what_may_be() {
  const auto& queues = parts_.config.queues;
  if (std::ranges::all_of(queues, [](const config::Queue& queue) { return queue.automatic.kinds.empty(); })) return;
  for (const auto* incident : parts_.correlator.incidents()) {
    if (!incident->queue) continue;
    const auto* queue = parts_.config.find_queue(*incident->queue);
    const auto* status = parts_.correlator.queue(*incident->queue);
    if (queue == nullptr || status == nullptr || busy_.contains(queue->name)) continue;
    // The audit trail can only forbid it, so it is read only for what it would let through if it were empty.
    if (automatic_cure(*queue, *incident, *status, {}, parts_.clock.wall_now()))
      cure_automatically(queue->name, incident->id);
  }
}

// The audit trail knows how often it was done, over restarts; where it cannot be read, nothing is done unasked.
void QueueDesk::cure_automatically(const std::string& queue, const std::string& id) {
  busy_.insert(queue);
  parts_.ledger.read_audit({kAuditLooked, 0}, [this, queue, id](const auto& records) {
    busy_.erase(queue);
    const auto* configured = parts_.config.find_queue(queue);
    const auto* status = parts_.correlator.queue(queue);
    const auto* incident = parts_.correlator.incident(id);
    if (stopping_ || !records || configured == nullptr || status == nullptr || incident == nullptr) return;
    auto wanted = automatic_cure(*configured, *incident, *status, *records, parts_.clock.wall_now());
    if (!wanted) return;
    spdlog::info("[queue-cure] {}: {} for incident {}", queue, to_text(wanted->what), id);
    const auto recorded = *wanted;
    act(std::move(*wanted), [this, recorded](const Acted& outcome) { record(recorded, outcome); });
  });
}

void QueueDesk::record(const QueueAct& act, const Acted& outcome) {
  model::AuditRecord record;
  record.at = parts_.clock.wall_now();
  record.who = kAutomatic;
  record.peer = kAutomaticPeer;
  record.what = act.what == What::resume ? "queue.resume" : "queue.cancel";
  record.target = act.queue;
  if (outcome) {
    record.detail = http::audit_detail_of(*outcome);
  } else {
    record.outcome = model::AuditRecord::Outcome::failed;
    record.reason = outcome.error().what;
  }
  parts_.ledger.record(std::move(record));
}

std::map<std::string, std::uint64_t> QueueDesk::counters() const {
  const auto polls = pollers_.counters();
  return {{"finished", polls.finished}, {"missed", polls.missed}, {"late", polls.late}};
}

void QueueDesk::stop() {
  stopping_ = true;
  pollers_.stop();
  restarts_.stop();
  for (const auto& sleeper : waiting_) sleeper->wake();
}

void QueueDesk::when_idle(std::function<void()> idle) {
  pollers_.when_idle([this, idle = std::move(idle)]() mutable { tasks_.when_idle(std::move(idle)); });
}

}  // namespace frisket::service
