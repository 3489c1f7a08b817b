#include "daemon/hooks/delivery.h"

#include <spdlog/spdlog.h>

#include <algorithm>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/post.hpp>
#include <exception>
#include <random>
#include <utility>

#include "daemon/hooks/delivery_desk.h"
#include "daemon/hooks/notice_body.h"

namespace frisket::hooks {
namespace {

namespace asio = boost::asio;
using namespace std::chrono_literals;
using Verdict = Reply::Verdict;
using DeskPointer = std::shared_ptr<DeliveryDesk>;

// The wall clock may be set at any time; what is due by it is looked at again at least so often.
constexpr auto kLongestSleep = 30s;
constexpr auto kClockStep = 1s;

std::string about(const std::vector<Notice>& notices) {
  if (notices.size() > 1) return std::to_string(notices.size()) + " notices";
  const auto& notice = notices.front();
  if (notice.incident.empty()) return "a test";
  return std::string(to_text(notice.reason)) + " of incident " + notice.incident + " (" + facts_of(notice).kind + ")";
}

}  // namespace

struct Delivery::State : std::enable_shared_from_this<Delivery::State> {
  State(asio::any_io_executor its_executor, Clock& its_clock, Transports its_transports, std::uint64_t seed,
        Settled its_settled)
      : executor(std::move(its_executor)),
        clock(its_clock),
        transports(std::move(its_transports)),
        random(seed),
        settled(std::move(its_settled)),
        sleeper(clock.make_sleeper(executor)) {}

  Times times() const { return {clock.steady_now(), clock.wall_now()}; }

  void configure(const std::vector<config::Hook>& hooks);
  void take(const std::vector<Notice>& notices);
  asio::awaitable<void> wait();
  void begin_waiting();
  SteadyTime next_look();
  void note_clock();
  void schedule();
  void start_due();
  void send(const Message& message, Transport::Done done);
  void attempt(const DeskPointer& desk, std::vector<Notice> notices);
  void ended(const DeskPointer& desk, std::vector<Notice> notices, const Reply& reply);
  void settle(std::vector<Notice>& notices, Notice::State how);
  bool given_up(const config::Hook& hook, const std::vector<Notice>& notices, const Reply& reply);
  SteadyTime retry_at(const Notice& notice, const Reply& reply);
  void count(const Reply& reply);
  void log(const config::Hook& hook, const std::vector<Notice>& notices, const Reply& reply) const;
  void stop();

  asio::any_io_executor executor;
  Clock& clock;
  Transports transports;
  std::mt19937_64 random;
  Settled settled;
  std::unique_ptr<Sleeper> sleeper;
  std::map<std::string, DeskPointer> desks;
  std::map<std::uint64_t, int> refusals;  // by number of the notice
  std::optional<Times> noted;
  Counters counted;
  bool scheduled = false;
  bool waiting = false;
  bool stopped = false;
};

void Delivery::State::configure(const std::vector<config::Hook>& hooks) {
  std::map<std::string, DeskPointer> kept;
  for (const auto& hook : hooks) {
    const auto had = desks.find(hook.name);
    auto& desk = kept[hook.name];
    desk = had == desks.end() ? std::make_shared<DeliveryDesk>(hook) : had->second;
    desk->configure(hook, times());
  }
  for (const auto& [name, desk] : desks) {
    if (kept.contains(name)) continue;
    desk->gone = true;
    if (const auto dropped = desk->clear(); dropped > 0)
      spdlog::warn("[hook-gone] {} is no longer configured; {} notices that waited for it are dropped", name, dropped);
  }
  desks = std::move(kept);
  schedule();
}

void Delivery::State::take(const std::vector<Notice>& notices) {
  const auto now = times();
  for (const auto& notice : notices) {
    const auto desk = desks.find(notice.hook);
    if (desk == desks.end()) continue;
    if (notice.state == Notice::State::waiting)
      desk->second->put(notice, now);
    else
      desk->second->remove(notice, now);
  }
  schedule();
}

// One start per turn of the io_context: starting a program takes a moment, and polls go on in between.
void Delivery::State::schedule() {
  if (stopped || std::exchange(scheduled, true)) return;
  asio::post(executor, [self = shared_from_this()] {
    self->scheduled = false;
    if (!self->stopped) self->start_due();
  });
}

void Delivery::State::start_due() {
  note_clock();
  const auto now = times();
  bool more = false;
  for (const auto& [name, desk] : desks) {
    auto notices = desk->take(now);
    if (notices.empty()) continue;
    attempt(desk, std::move(notices));
    const auto next = desk->next();
    more |= next && *next <= now.steady;
  }
  if (more) return schedule();
  if (waiting)
    sleeper->wake();
  else
    begin_waiting();
}

// A wall clock that was set moves what is due by it.
void Delivery::State::note_clock() {
  const auto now = times();
  if (noted) {
    const auto drift = (now.wall - noted->wall) - (now.steady - noted->steady);
    if (drift < kClockStep && drift > -kClockStep) return;
    for (const auto& [name, desk] : desks) desk->place_all(now);
  }
  noted = now;
}

void Delivery::State::begin_waiting() {
  waiting = true;
  asio::co_spawn(executor, wait(), [self = shared_from_this()](std::exception_ptr what) {
    self->waiting = false;
    if (!what) return;
    try {
      std::rethrow_exception(what);
    } catch (const std::exception& bug) {
      spdlog::error("[hooks-ended] the delivery ended by an internal error: {}", bug.what());
    }
  });
}

// Sleeps until something is due, begins it, and sleeps again. Begun by the first notice.
asio::awaitable<void> Delivery::State::wait() {
  while (!stopped) {
    const auto woke = co_await sleeper->until(next_look());
    if (woke == Sleeper::Woke::due) schedule();
    if (woke == Sleeper::Woke::due && !stopped) co_await sleeper->until(clock.steady_now() + kLongestSleep);
  }
}

SteadyTime Delivery::State::next_look() {
  auto look = clock.steady_now() + kLongestSleep;
  for (const auto& [name, desk] : desks)
    if (const auto next = desk->next()) look = std::min(look, *next);
  return look;
}

void Delivery::State::attempt(const DeskPointer& desk, std::vector<Notice> notices) {
  const Message message{desk->hook(), notices, clock.wall_now()};
  auto done = [weak = weak_from_this(), desk, notices = std::move(notices)](const Reply& reply) {
    if (const auto self = weak.lock(); self && !self->stopped) self->ended(desk, notices, reply);
  };
  ++counted.started;
  ++counted.running;
  send(message, std::move(done));
}

void Delivery::State::send(const Message& message, Transport::Done done) {
  const auto transport = transports.find(message.hook->type);
  if (transport != transports.end()) return transport->second->send(message, std::move(done));
  asio::post(executor, [done = std::move(done)] {
    done({.verdict = Verdict::refused, .text = "this daemon cannot send by this type of hook", .local = true});
  });
}

void Delivery::State::count(const Reply& reply) {
  --counted.running;
  if (reply.verdict == Verdict::delivered)
    ++counted.succeeded;
  else
    ++(reply.timed_out ? counted.timed_out : counted.failed);
}

void Delivery::State::log(const config::Hook& hook, const std::vector<Notice>& notices, const Reply& reply) const {
  const bool told = reply.verdict == Verdict::delivered;
  const auto attempts = notices.front().attempts;
  const std::string again = attempts > 1 ? ", in attempt " + std::to_string(attempts) : "";
  const auto* id = told ? "hook-told" : reply.local ? "hook-not-started" : "hook-failed";
  auto level = told ? spdlog::level::info : reply.local ? spdlog::level::err : spdlog::level::warn;
  if (!told && attempts > 1) level = spdlog::level::debug;  // said already
  spdlog::log(level, "[{}] {}: {}{}: {}", id, hook.name, about(notices), again, reply.text);
}

void Delivery::State::ended(const DeskPointer& desk, std::vector<Notice> notices, const Reply& reply) {
  count(reply);
  const auto now = times();
  const auto hook = desk->hook();
  const bool told = reply.verdict == Verdict::delivered;
  for (auto& notice : notices) {
    ++notice.attempts;
    notice.trouble = told ? "" : reply.text;
  }
  log(*hook, notices, reply);
  desk->release(desk->line_of(notices.front()), now);
  if (reply.verdict != Verdict::unreachable) desk->reachable(now);
  if (!told) ++desk->failed;
  if (told) {
    desk->told += notices.size();
    settle(notices, Notice::State::delivered);
  } else if (given_up(*hook, notices, reply)) {
    counted.parked += notices.size();
    desk->parked += notices.size();
    spdlog::error("[hook-given-up] {}: {} after {} attempts: {}", hook->name, about(notices), notices.front().attempts,
                  reply.text);
    settle(notices, Notice::State::parked);
  } else if (!desk->gone) {
    const auto when = retry_at(notices.front(), reply);
    desk->put_back(std::move(notices), when, reply.verdict == Verdict::unreachable, now);
  }
  schedule();
}

void Delivery::State::settle(std::vector<Notice>& notices, Notice::State how) {
  for (auto& notice : notices) {
    refusals.erase(notice.number);
    notice.state = how;
    if (settled) settled(notice);
  }
}

bool Delivery::State::given_up(const config::Hook& hook, const std::vector<Notice>& notices, const Reply& reply) {
  const auto& first = notices.front();
  if (reply.verdict == Verdict::refused && ++refusals[first.number] >= kMostRefusals) return true;
  return first.attempts >= kLeastAttempts && clock.wall_now() - first.due >= hook.give_up_after;
}

SteadyTime Delivery::State::retry_at(const Notice& notice, const Reply& reply) {
  constexpr int kDoublings = 10;  // 1024 s is above the longest pause
  const auto pause = std::min(kLongestPause, kFirstPause * (1 << std::min(notice.attempts - 1, kDoublings)));
  std::uniform_int_distribution<std::int64_t> jitter(800, 1200);
  auto wait = std::chrono::milliseconds(pause.count() * jitter(random));
  if (reply.retry_after) wait = std::max<std::chrono::milliseconds>(wait, std::min(*reply.retry_after, kLongestWish));
  return clock.steady_now() + wait;
}

void Delivery::State::stop() {
  if (std::exchange(stopped, true)) return;
  const auto under_way = counted.running;
  for (const auto& [type, transport] : transports) transport->stop();
  std::size_t waits = 0;
  for (const auto& [name, desk] : desks) waits += desk->clear();
  counted.running = 0;
  sleeper->wake();
  if (under_way > 0 || waits > 0)
    spdlog::warn("[hooks-stopped] {} attempts were ended, {} notices had not been tried", under_way, waits);
}

Delivery::Delivery(asio::any_io_executor executor, Clock& clock, Transports transports, std::uint64_t seed,
                   Settled settled)
    : state_(std::make_shared<State>(std::move(executor), clock, std::move(transports), seed, std::move(settled))) {}

Delivery::~Delivery() { stop(); }

void Delivery::configure(const std::vector<config::Hook>& hooks) {
  if (!state_->stopped) state_->configure(hooks);
}

void Delivery::take(const std::vector<Notice>& notices) {
  if (!state_->stopped && !notices.empty()) state_->take(notices);
}

void Delivery::send_now(const Notice& notice, Transport::Done done) {
  const auto desk = state_->desks.find(notice.hook);
  if (state_->stopped || desk == state_->desks.end()) return;
  const Message message{desk->second->hook(), {notice}, state_->clock.wall_now()};
  state_->send(message, std::move(done));
}

Delivery::Counters Delivery::counters() const {
  Counters counters = state_->counted;
  for (const auto& [name, desk] : state_->desks) counters.waiting += desk->waiting();
  return counters;
}

std::map<std::string, Delivery::OfHook> Delivery::each() const {
  std::map<std::string, OfHook> list;
  for (const auto& [name, desk] : state_->desks) list[name] = {desk->waiting(), desk->told, desk->failed, desk->parked};
  return list;
}

void Delivery::stop() { state_->stop(); }

}  // namespace frisket::hooks
