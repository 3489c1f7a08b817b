#include "probes/discovery/scan.h"

#include <algorithm>
#include <chrono>
#include <utility>

#include "probes/discovery/agent_read.h"
#include "probes/snmp/exchange.h"

namespace frisket::discovery {
namespace {

namespace asio = boost::asio;
using model::Error;

// Agents read at the same time: what they are sent comes on top of the rate until it is paid for.
constexpr std::size_t kMostReading = 8;
constexpr std::size_t kMostAsking = 2048;
constexpr auto kLongWait = std::chrono::hours{1};

// As many as are outstanding when nobody answers and the rate is kept.
std::size_t asking_at_once(const Settings& settings) {
  const auto outstanding = std::int64_t{settings.rate} * settings.timeout.count() / 1000;
  return std::min(static_cast<std::size_t>(outstanding) + 1, kMostAsking);
}

model::SteadyTime::duration interval_of(const Settings& settings, std::uint64_t datagrams) {
  const auto second = std::chrono::duration_cast<model::SteadyTime::duration>(std::chrono::seconds{1});
  return second * static_cast<std::int64_t>(datagrams) / settings.rate;
}

}  // namespace

config::Polling Scan::polling(const Settings& settings) {
  config::Polling polling;
  polling.timeout = settings.timeout;
  polling.attempts = settings.attempts;
  // Questions never wait in line inside the network: only the turn holds them back.
  polling.in_flight = static_cast<int>(asking_at_once(settings) * settings.credentials.size() + kMostReading);
  return polling;
}

Scan::Scan(asio::any_io_executor executor, snmp::Network& network, Clock& clock, const Targets& targets,
           Settings settings, Progress progress)
    : network_(network),
      clock_(clock),
      settings_(std::move(settings)),
      progress_(std::move(progress)),
      cursor_(targets),
      next_target_(cursor_.next()),
      sleeper_(clock.make_sleeper(executor)),
      tasks_(executor, [this](const std::string&, std::exception_ptr what) {
        escaped_ = std::move(what);
        sleeper_->wake();
      }) {
  tally_.total = targets.count();
}

asio::awaitable<void> Scan::run() {
  turn_ = clock_.steady_now();
  while (step()) {
    const bool may_ask = !stopped_ && has_question() && asking_ < asking_at_once(settings_);
    const auto until = may_ask ? turn_ : clock_.steady_now() + kLongWait;
    co_await sleeper_->until(until);
    if (escaped_) std::rethrow_exception(escaped_);
  }
  // The last task has said that it is done, and may still be on its way out.
  tasks_.when_idle([this] { sleeper_->wake(); });
  while (tasks_.running() > 0) co_await sleeper_->until(clock_.steady_now() + kLongWait);
}

// Starts what may start now. False when all is done.
bool Scan::step() {
  while (!stopped_ && !answers_.empty() && reading_ < kMostReading) {
    auto answer = std::move(answers_.front());
    answers_.pop_front();
    ++reading_;
    tasks_.spawn("reading", read(std::move(answer)));
  }
  if (!stopped_ && has_question() && asking_ < asking_at_once(settings_)) {
    wait_for_turn();
    if (clock_.steady_now() >= turn_) {
      turn_ += interval_of(settings_, settings_.credentials.size());
      questions_sent_ += settings_.credentials.size();
      ++asking_;
      tasks_.spawn("asking", ask(take_question()));
    }
    return true;
  }
  return asking_ > 0 || reading_ > 0 || (!stopped_ && !answers_.empty());
}

bool Scan::has_question() { return next_target_.has_value() || !again_.empty(); }

Scan::Question Scan::take_question() {
  if (!again_.empty()) {
    auto question = std::move(again_.front());
    again_.pop_front();
    return question;
  }
  Question question{*next_target_, 0};
  next_target_ = cursor_.next();
  ++tally_.asked;
  return question;
}

std::uint64_t Scan::reading_datagrams() const {
  const auto counters = network_.counters();
  const auto sent = counters.at("sent") + counters.at("retransmitted");
  return sent > questions_sent_ ? sent - questions_sent_ : 0;
}

// Puts the turn off for what reading has sent since, and never lets an idle time be made up for.
void Scan::wait_for_turn() {
  const auto reading = reading_datagrams();
  if (reading > paid_) turn_ += interval_of(settings_, reading - std::exchange(paid_, reading));
  turn_ = std::max(turn_, clock_.steady_now());
}

asio::awaitable<void> Scan::ask(Question question) {
  const snmp::Endpoint peer(question.address, settings_.port);
  const snmp::Patience once{settings_.timeout, 1};
  auto request = first_question();
  auto first = co_await snmp::exchange_first(network_, peer, settings_.credentials, std::move(request), once);
  --asking_;
  take(question, std::move(first));
  sleeper_->wake();
}

void Scan::take(const Question& question, snmp::FirstAnswer first) {
  if (first.response && !first.response->refused()) {
    const snmp::Endpoint peer(question.address, settings_.port);
    answers_.push_back({peer, first.credential, description_in(*first.response)});
  } else if (first.response) {
    add_agent(question, Kind::refused, "says " + to_text(first.response->error_status));
  } else if (!stopped_) {  // else ended by us: neither silent nor anything else
    no_answer(question, first.response.error());
  }
}

void Scan::no_answer(const Question& question, const Error& why) {
  if (why.kind == Error::Kind::refused) return add_agent(question, Kind::refused, why.what);
  if (question.attempt + 1 < settings_.attempts) {
    again_.push_back({question.address, question.attempt + 1});
    return;
  }
  if (why.kind == Error::Kind::nonsense) return add_agent(question, Kind::nonsense, "what it sends is not SNMP");
  ++tally_.silent;
  if (why.what.starts_with("cannot send")) {
    ++tally_.unsent;
    tally_.send_error = why.what;
  }
  changed();
}

void Scan::add_agent(const Question& question, Kind kind, std::string description) {
  Found found;
  found.address = question.address;
  found.kind = kind;
  found.description = std::move(description);
  add(std::move(found));
}

asio::awaitable<void> Scan::read(Answer answer) {
  const auto& credential = settings_.credentials[answer.credential];
  auto found = co_await read_agent(network_, clock_, answer.peer, credential, std::move(answer.description));
  --reading_;
  found.credential = answer.credential;
  // A reading that we cut short may have missed what makes it a printer.
  if (!stopped_ || found.kind == Kind::printer) add(std::move(found));
  sleeper_->wake();
}

void Scan::add(Found found) {
  ++tally_.answered;
  if (found.kind == Kind::printer) ++tally_.printers;
  found_.push_back(std::move(found));
  changed();
}

void Scan::changed() {
  if (progress_) progress_(tally_);
}

void Scan::stop() {
  stopped_ = true;
  network_.stop();
  sleeper_->wake();
}

}  // namespace frisket::discovery
