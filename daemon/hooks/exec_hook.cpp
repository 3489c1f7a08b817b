#include "daemon/hooks/exec_hook.h"

#include <spdlog/spdlog.h>

#include <algorithm>
#include <boost/asio/post.hpp>
#include <map>
#include <set>
#include <string_view>
#include <utility>

#include "daemon/hooks/environment.h"
#include "daemon/hooks/notice_line.h"
#include "daemon/hooks/program_run.h"
#include "daemon/json/forms.h"
#include "probes/model/text.h"

namespace frisket::hooks {
namespace {

constexpr std::size_t kMostWaiting = 10'000;  // for one hook
constexpr std::size_t kLongestShownLine = 1000;

// One hook, with what waits for it and what runs. Shared with its runs, which may outlive it.
struct Desk {
  explicit Desk(config::Hook configured) : hook(std::move(configured)) {}

  config::Hook hook;
  NoticeLine line{kMostWaiting};
  std::set<std::string> followed;  // incidents that it was told of and that are not cleared
  int running = 0;
  std::uint64_t dropped = 0;  // since the line became full; 0 while it is not
  bool gone = false;          // no longer configured
};

using DeskPointer = std::shared_ptr<Desk>;

template <class List, class Value>
bool lets_through(const List& filter, const Value& value) {
  return filter.empty() || std::ranges::find(filter, value) != filter.end();
}

// Output as one line of a log: control characters are gone, its lines are parted by " | ".
std::string shown(const Outcome& outcome) {
  std::string text;
  std::string_view rest = outcome.output;
  while (!rest.empty()) {
    const auto line = rest.substr(0, rest.find('\n'));
    rest.remove_prefix(std::min(line.size() + 1, rest.size()));
    const auto clean = model::decode_text(line, model::Charset::utf8, kLongestShownLine);
    if (clean.empty()) continue;
    if (!text.empty()) text += " | ";
    text += clean;
  }
  if (outcome.output_cut) text += " | (and more)";
  return text.empty() ? "no output" : "output: " + text;
}

std::string ending(const Outcome& outcome, const config::Hook& hook) {
  if (outcome.timed_out) return "ended by the time limit of " + std::to_string(hook.time_limit.count()) + " s";
  if (outcome.signal != 0) return "ended by signal " + std::to_string(outcome.signal);
  return "exit status " + std::to_string(outcome.status);
}

std::string about(const incidents::Transition& transition) {
  return std::string(to_text(transition.what)) + " of incident " + transition.incident.id + " (" +
         transition.incident.kind + ")";
}

Program program_for(const config::Hook& hook, const incidents::Transition& transition) {
  auto form = json::notice_form(transition);
  form["hook"] = hook.name;
  return {hook.program, hook.arguments, environment_for(hook, transition), json::text_of(form) + "\n"};
}

// By what the incident is, was, or has among its evidence: who asks for cover-open is told of the jam behind it.
bool wants_kind(const std::vector<std::string>& kinds, const incidents::Incident& incident) {
  return kinds.empty() ||
         std::ranges::any_of(kinds, [&](const auto& kind) { return incidents::concerns(incident, kind); });
}

}  // namespace

bool wants(const config::Hook& hook, const incidents::Transition& transition) {
  const auto& incident = transition.incident;
  return wants_kind(hook.kinds, incident) && lets_through(hook.sites, incident.site) &&
         (!hook.severity || incident.severity >= *hook.severity);
}

struct Hooks::State : std::enable_shared_from_this<Hooks::State> {
  explicit State(boost::asio::any_io_executor its_executor) : executor(std::move(its_executor)) {}

  void configure(std::vector<config::Hook> hooks);
  void retire(Desk& desk);
  void tell(const DeskPointer& desk, const Notice& notice);
  void schedule(const DeskPointer& desk);
  void start_next(const DeskPointer& desk);
  void run(const DeskPointer& desk, const Notice& notice);
  void ended(const DeskPointer& desk, const Notice& notice, const Outcome& outcome);
  void release(const DeskPointer& desk, const Notice& notice);
  void stop();

  boost::asio::any_io_executor executor;
  std::vector<DeskPointer> desks;
  std::map<std::uint64_t, std::shared_ptr<ProgramRun>> runs;
  std::uint64_t next_run = 0;
  Counters counted;
  bool stopped = false;
};

void Hooks::State::configure(std::vector<config::Hook> hooks) {
  std::vector<DeskPointer> kept;
  for (auto& hook : hooks) {
    const auto found = std::ranges::find(desks, hook.name, [](const DeskPointer& desk) { return desk->hook.name; });
    if (found == desks.end()) {
      kept.push_back(std::make_shared<Desk>(std::move(hook)));
    } else {
      (*found)->hook = std::move(hook);
      kept.push_back(*found);
    }
    schedule(kept.back());
  }
  for (const auto& desk : desks)
    if (std::ranges::find(kept, desk) == kept.end()) retire(*desk);
  desks = std::move(kept);
}

void Hooks::State::retire(Desk& desk) {
  desk.gone = true;
  const auto dropped = desk.line.clear();
  counted.dropped += dropped;
  if (dropped > 0)
    spdlog::warn("[hook-gone] {} is no longer configured; {} notices that waited for it are dropped", desk.hook.name,
                 dropped);
}

void Hooks::State::tell(const DeskPointer& desk, const Notice& notice) {
  // Told of an incident, a hook is told of it to its end, whatever it has become: or a ticket that
  // was opened for toner-low would never be closed.
  const bool follows = desk->followed.contains(notice->incident.id);
  if (!follows && !wants(desk->hook, *notice)) return;
  if (!desk->line.add(notice)) {
    ++counted.dropped;
    if (desk->dropped++ == 0)
      spdlog::error("[hook-full] {} notices wait for {}: newer ones are dropped until there is room", kMostWaiting,
                    desk->hook.name);
    return;
  }
  if (notice->what == incidents::Transition::What::cleared)
    desk->followed.erase(notice->incident.id);
  else if (!follows)
    desk->followed.insert(notice->incident.id);
  if (const auto dropped = std::exchange(desk->dropped, 0); dropped > 0)
    spdlog::warn("[hook-room] there is room again for {}; {} notices were dropped", desk->hook.name, dropped);
  schedule(desk);
}

// One start per turn of the io_context: starting takes a moment, and polls go on in between.
void Hooks::State::schedule(const DeskPointer& desk) {
  if (!desk->line.has_next()) return;
  boost::asio::post(executor, [weak = weak_from_this(), desk] {
    if (const auto self = weak.lock()) self->start_next(desk);
  });
}

void Hooks::State::start_next(const DeskPointer& desk) {
  if (stopped || desk->running >= desk->hook.parallel) return;
  const auto notice = desk->line.next();
  if (!notice) return;
  run(desk, *notice);
  schedule(desk);
}

void Hooks::State::run(const DeskPointer& desk, const Notice& notice) {
  const auto number = next_run++;
  const auto done = [weak = weak_from_this(), desk, notice, number](const Outcome& outcome) {
    const auto self = weak.lock();
    if (!self) return;
    self->runs.erase(number);
    self->ended(desk, notice, outcome);
  };
  const auto started =
      ProgramRun::start(executor, program_for(desk->hook, *notice), desk->hook.time_limit, std::move(done));
  ++counted.started;
  ++desk->running;
  if (started) {
    runs.emplace(number, *started);
    return;
  }
  ++counted.failed;
  spdlog::error("[hook-not-started] {}: {}: {}", desk->hook.name, about(*notice), started.error().text());
  release(desk, notice);
}

void Hooks::State::ended(const DeskPointer& desk, const Notice& notice, const Outcome& outcome) {
  ++(outcome.timed_out ? counted.timed_out : outcome.succeeded() ? counted.succeeded : counted.failed);
  spdlog::log(outcome.succeeded() ? spdlog::level::info : spdlog::level::warn, "[{}] {}: {}: {}; {}",
              outcome.succeeded() ? "hook-told" : "hook-failed", desk->hook.name, about(*notice),
              ending(outcome, desk->hook), shown(outcome));
  release(desk, notice);
}

void Hooks::State::release(const DeskPointer& desk, const Notice& notice) {
  --desk->running;
  desk->line.told(notice->incident.id);
  if (!desk->gone) schedule(desk);
}

void Hooks::State::stop() {
  if (std::exchange(stopped, true)) return;
  std::vector<std::shared_ptr<ProgramRun>> ending_now;
  for (const auto& [number, run] : runs) ending_now.push_back(run);
  runs.clear();
  ProgramRun::end_all(ending_now);
  std::size_t dropped = 0;
  for (const auto& desk : desks) {
    desk->running = 0;
    dropped += desk->line.clear();
  }
  counted.dropped += dropped;
  if (!ending_now.empty() || dropped > 0)
    spdlog::warn("[hooks-stopped] {} runs were ended, {} notices that waited are dropped", ending_now.size(), dropped);
}

Hooks::Hooks(boost::asio::any_io_executor executor) : state_(std::make_shared<State>(std::move(executor))) {}

Hooks::~Hooks() { stop(); }

void Hooks::configure(std::vector<config::Hook> hooks) {
  if (!state_->stopped) state_->configure(std::move(hooks));
}

void Hooks::tell(const incidents::Transition& transition) {
  if (state_->stopped) return;
  const auto notice = std::make_shared<const incidents::Transition>(transition);
  for (const auto& desk : state_->desks) state_->tell(desk, notice);
}

Hooks::Counters Hooks::counters() const {
  Counters counters = state_->counted;
  counters.running = state_->runs.size();
  for (const auto& desk : state_->desks) counters.waiting += desk->line.waiting();
  return counters;
}

void Hooks::stop() { state_->stop(); }

}  // namespace frisket::hooks
