#include "daemon/service/notifications.h"

#include <spdlog/spdlog.h>

#include <algorithm>
#include <exception>
#include <set>
#include <sstream>
#include <utility>

#include "daemon/service/credentials_by_name.h"
#include "daemon/service/escaped.h"
#include "daemon/service/local_engine.h"

namespace frisket::service {
namespace {

namespace asio = boost::asio;

std::string endpoint_text(const asio::ip::udp::endpoint& endpoint) {
  std::ostringstream text;
  text << endpoint;
  return text.str();
}

PollLimiter limiter_of(const config::Notifications& config) {
  return PollLimiter(config.min_interval, config.polls_per_second);
}

}  // namespace

Notifications::Notifications(asio::any_io_executor executor, Clock& clock, PollSoon poll_soon)
    : clock_(clock),
      poll_soon_(std::move(poll_soon)),
      addresses_(executor, clock),
      limiter_(limiter_of(config_)),
      tasks_(executor, log_escaped),
      turn_(clock.make_sleeper(executor)),
      listener_(executor, clock, *this) {}

void Notifications::configure(const config::Config& config) {
  const auto before = std::exchange(config_, config.notifications);
  CredentialsByName credentials(config);
  credentials_ = *credentials.of(config_.credentials);
  users_.clear();
  for (const auto& device : config.devices)
    for (const auto& credential : *credentials.of(device.credentials))
      if (credential.version == config::SnmpVersion::v3) users_[device.name].push_back(credential);
  state_dir_ = config.daemon.state_dir;
  if (before.min_interval != config_.min_interval || before.polls_per_second != config_.polls_per_second)
    limiter_ = limiter_of(config_);
  std::set<std::string> names;
  for (const auto& device : config.devices) names.insert(device.name);
  limiter_.keep_only(names);
  turn_->wake();
  if (config_.listen) addresses_.configure(config);
  if (before.listen != config_.listen || !trouble_.empty()) listen();
  if (!config_.listen || std::exchange(started_, true)) return;
  tasks_.spawn("polling after notifications", poll_later());
  tasks_.spawn("looking up senders of notifications", addresses_.keep_looking_up());
}

void Notifications::listen() {
  listening_.clear();
  trouble_.clear();
  listener_.close();
  if (!config_.listen) return spdlog::info("[notifications-off] not configured to listen for notifications");
  become_engine();
  const auto bound = listener_.open(*config_.listen);
  if (bound) {
    listening_ = endpoint_text(*bound);
    return spdlog::info("[notifications-on] listening for notifications on {}", listening_);
  }
  trouble_ = bound.error().text();
  const bool privileged = config_.listen->port > 0 && config_.listen->port < 1024;
  if (privileged) trouble_ += " (a port below 1024 needs the capability CAP_NET_BIND_SERVICE)";
  spdlog::error("[notifications-off] {}", trouble_);
}

// Once for as long as the process lives: senders of informs remember it.
void Notifications::become_engine() {
  if (std::exchange(is_engine_, true)) return;
  auto engine = next_engine(state_dir_);
  if (!engine)
    spdlog::warn("[engine-not-kept] {}; senders of SNMPv3 informs have to discover it anew", engine.error().text());
  listener_.speak_as(engine ? *engine : new_engine());
}

void Notifications::stop() {
  stopped_ = true;
  listener_.close();
  addresses_.stop();
  turn_->wake();
}

bool Notifications::knows(const asio::ip::address& source) {
  if (addresses_.known(source)) return true;
  unknown_senders_.add(source.to_string(), clock_.wall_now());
  return false;
}

std::span<const config::Credential> Notifications::users(const asio::ip::address& source) {
  if (!config_.credentials.empty()) return credentials_;
  asked_for_.clear();
  for (const auto& device : addresses_.at(source))
    if (const auto found = users_.find(device); found != users_.end())
      asked_for_.insert(asked_for_.end(), found->second.begin(), found->second.end());
  return asked_for_;
}

// Of SNMPv3 only what a user() has proven gets here. A community in the clear proves little; the list keeps out what
// was not meant for this daemon.
bool Notifications::credible(const snmp::Notification& notification) const {
  if (config_.credentials.empty() || !notification.user.empty()) return true;
  const auto version =
      notification.form == snmp::Notification::Form::trap_v1 ? config::SnmpVersion::v1 : config::SnmpVersion::v2c;
  return std::ranges::any_of(credentials_, [&](const config::Credential& credential) {
    return credential.version == version && credential.community == notification.community;
  });
}

bool Notifications::take(const snmp::Notification& notification, const asio::ip::address& source) {
  if (!credible(notification)) return false;
  bool news = false;
  for (const auto& device : addresses_.at(source)) news = ask_for(device) || news;
  // Of those that change nothing no line is written: a flood would fill the log.
  if (news && spdlog::should_log(spdlog::level::debug))
    spdlog::debug("[notification] from {}: {}", source.to_string(), snmp::describe(notification));
  return true;
}

// False if it changes nothing, since a poll of the device is due already.
bool Notifications::ask_for(const std::string& device) {
  switch (limiter_.ask(device, clock_.steady_now())) {
    case PollLimiter::Answer::now:
      ++polls_;
      poll_soon_(device);
      return true;
    case PollLimiter::Answer::later:
      turn_->wake();
      return true;
    case PollLimiter::Answer::already:
      break;
  }
  ++merged_;
  return false;
}

asio::awaitable<void> Notifications::poll_later() {
  while (!stopped_) {
    co_await turn_->until(limiter_.next_due().value_or(model::SteadyTime::max()));
    if (stopped_) break;
    for (const auto& device : limiter_.take_due(clock_.steady_now())) {
      ++polls_;
      poll_soon_(device);
    }
  }
}

Notifications::State Notifications::state() const {
  State state{listening_, trouble_, listener_.counters(), unknown_senders_.list()};
  state.counters["polls"] = polls_;
  state.counters["merged"] = merged_;
  state.counters["waiting"] = limiter_.waiting();
  return state;
}

}  // namespace frisket::service
