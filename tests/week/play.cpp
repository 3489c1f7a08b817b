#include "play.h"

#include <algorithm>
#include <queue>

#include "daemon/service/schedule.h"

namespace frisket::week {

using namespace std::chrono_literals;
using incidents::Incident;
using incidents::OperatorState;
using incidents::What;

namespace {

constexpr auto kTick = 5s;         // the daemon ticks every second; no rule waits for less than a minute
constexpr auto kGivesUp = 4500ms;  // polling.attempts times polling.timeout
constexpr std::int64_t kLostOneIn = 5000;

struct Device {
  const config::Device* config = nullptr;
  Printer printer;
  std::vector<Happening> happenings;  // in order of time
  std::size_t next = 0;
  std::shared_ptr<const model::DeviceSnapshot> seen;
};

// What the daemon does next, with which device.
struct Due {
  enum class What { poll, give_up, acknowledge };
  WallTime at;
  What what;
  std::size_t device;
  std::set<std::string> kinds;  // of acknowledge
  bool operator>(const Due& other) const {
    return std::tie(at, what, device) > std::tie(other.at, other.what, other.device);
  }
};

// The schedule counts on the steady clock; here both run alike.
model::SteadyTime steady(WallTime at) { return model::SteadyTime{} + at.time_since_epoch(); }

class Player {
 public:
  Player(const Plan& plan, std::uint64_t seed)
      : plan_(plan),
        dice_(seed ^ 0x9E3779B9U),
        config_(config_of(plan)),
        correlator_(config_),
        sights_(plan.truths(), plan.fleet) {
    for (std::size_t i = 0; i < plan.fleet.size(); ++i) {
      devices_.push_back({&config_.devices[i], Printer(plan.fleet[i].dialect), {}, 0, nullptr});
      by_name_[plan.fleet[i].name] = i;
    }
    for (const auto& episode : plan.episodes) {
      auto& happenings = devices_[by_name_.at(episode.device)].happenings;
      happenings.insert(happenings.end(), episode.happenings.begin(), episode.happenings.end());
    }
    for (std::size_t i = 0; i < devices_.size(); ++i) {
      std::ranges::stable_sort(devices_[i].happenings, {}, &Happening::at);
      for (const auto& happening : devices_[i].happenings)
        if (!happening.change) due_.push({happening.at, Due::What::acknowledge, i, happening.acknowledge});
    }
  }

  Played play() {
    start(plan_.begins);
    WallTime tick = plan_.begins;
    bool restarted = false;
    while (!due_.empty() && due_.top().at < plan_.ends) {
      const auto next = due_.top();
      due_.pop();
      if (!restarted && next.at >= plan_.restart) {
        restart();
        restarted = true;
      }
      for (; tick <= next.at; tick += kTick)
        if (tick < plan_.restart || tick >= plan_.restarted) note(correlator_.tick(tick));
      perform(next);
    }
    played_.sights = sights_.take();
    return std::move(played_);
  }

 private:
  void start(WallTime at) {
    for (std::size_t i = 0; i < devices_.size(); ++i)
      due_.push({at + std::chrono::ceil<std::chrono::milliseconds>(service::first_delay(i)), Due::What::poll, i, {}});
  }

  // Polls that were under way are gone; what the correlator remembers is what the store would have kept.
  void restart() {
    std::priority_queue<Due, std::vector<Due>, std::greater<>> kept;
    for (; !due_.empty(); due_.pop())
      if (due_.top().what == Due::What::acknowledge) kept.push(due_.top());
    due_ = std::move(kept);
    auto memory = correlator_.memory();
    correlator_ = incidents::Correlator(config_);
    note(correlator_.restore(std::move(memory), plan_.restarted));
    start(plan_.restarted);
  }

  void perform(const Due& due) {
    switch (due.what) {
      case Due::What::poll:
        return poll(due);
      case Due::What::give_up:
        return missed(due);
      case Due::What::acknowledge:
        // Nobody can, while the daemon is down.
        if (due.at < plan_.restart || due.at >= plan_.restarted) acknowledge(due);
        return;
    }
  }

  bool cut_off(const config::Device& device, WallTime at) const {
    return std::ranges::any_of(plan_.outages, [&](const Outage& outage) {
      return outage.site == device.site && at >= outage.from && at < outage.until;
    });
  }

  void poll(const Due& due) {
    auto& device = devices_[due.device];
    for (; device.next < device.happenings.size() && device.happenings[device.next].at <= due.at; ++device.next)
      if (const auto& change = device.happenings[device.next].change) change(device.printer);
    ++played_.polls;
    const bool lost = dice_.one_in(kLostOneIn);
    if (lost) ++played_.lost;
    if (lost || !device.printer.answers() || cut_off(*device.config, due.at)) {
      due_.push({due.at + kGivesUp, Due::What::give_up, due.device, {}});
      return;
    }
    auto snapshot = device.printer.snapshot();
    if (device.seen && device.seen != snapshot) count_changes(*device.seen, *snapshot, played_.raw);
    device.seen = snapshot;
    sights_.poll(due.device, device.printer, due.at, true);
    note(correlator_.apply({device.config->name, due.at, model::Reach::answered, "", std::move(snapshot)}));
    again(due.device, due.at, due.at);
  }

  void missed(const Due& due) {
    const auto& device = devices_[due.device];
    ++played_.missed;
    sights_.poll(due.device, device.printer, due.at, false);
    note(correlator_.apply({device.config->name, due.at, model::Reach::silent, "no answer in 3 attempts", nullptr}));
    again(due.device, due.at - kGivesUp, due.at);
  }

  void again(std::size_t number, WallTime began, WallTime now) {
    const auto& device = *devices_[number].config;
    const auto pace = service::pace_for(*correlator_.device(device.name));
    const auto beat = service::beat_of(device.name, service::interval_of(device, pace));
    const auto next = service::next_due(beat, steady(began), steady(now));
    const auto at = WallTime{std::chrono::ceil<std::chrono::milliseconds>(next.time_since_epoch())};
    due_.push({at, Due::What::poll, number, {}});
  }

  void acknowledge(const Due& due) {
    const auto& name = devices_[due.device].config->name;
    for (const auto* incident : correlator_.incidents()) {
      if (incident->state == Incident::State::cleared || incident->device != name) continue;
      if (!due.kinds.contains(incident->kind)) continue;
      const auto done = correlator_.act(incident->id, {due.at, OperatorState::ack, "robin", "on the way", {}});
      if (done) return note(*done);
    }
    played_.unheard.push_back(name + " " + model::to_rfc3339(due.at) + " " + *due.kinds.begin());
  }

  void note(std::vector<incidents::Transition> transitions) {
    std::ranges::move(transitions, std::back_inserter(played_.told));
  }

  const Plan& plan_;
  Dice dice_;
  config::Config config_;
  incidents::Correlator correlator_;
  Sights sights_;
  std::vector<Device> devices_;
  std::map<std::string, std::size_t> by_name_;
  std::priority_queue<Due, std::vector<Due>, std::greater<>> due_;
  Played played_;
};

}  // namespace

Played play(const Plan& plan, std::uint64_t seed) { return Player(plan, seed).play(); }

}  // namespace frisket::week
