#include "daemon/hooks/hooks.h"

#include <spdlog/spdlog.h>

#include <utility>

#include "daemon/hooks/exec_transport.h"
#include "daemon/hooks/mail_transport.h"
#include "daemon/hooks/syslog_transport.h"
#include "daemon/hooks/webhook_transport.h"

namespace frisket::hooks {

using Type = config::Hook::Type;

Delivery::Transports all_transports(const boost::asio::any_io_executor& executor) {
  Delivery::Transports transports;
  transports[Type::exec] = std::make_shared<ExecTransport>(executor);
  transports[Type::mail] = std::make_shared<MailTransport>(executor);
  transports[Type::syslog] = std::make_shared<SyslogTransport>(executor);
  transports[Type::webhook] = std::make_shared<WebhookTransport>(std::make_shared<CurlLoop>(executor));
  return transports;
}

Hooks::Hooks(boost::asio::any_io_executor executor, Clock& clock, Delivery::Transports transports, std::uint64_t seed,
             Keep keep)
    : clock_(clock),
      keep_(std::move(keep)),
      delivery_(std::move(executor), clock, std::move(transports), seed,
                [this](const Notice& notice) { settled(notice); }) {}

Hooks::~Hooks() { stop(); }

Hooks::Notices Hooks::configure(const config::Config& config) {
  delivery_.configure(config.hooks);
  return planner_.configure(config);
}

Hooks::Notices Hooks::restore(Notices rows, const std::vector<incidents::Incident>& incidents,
                              std::uint64_t last_number) {
  Notices waiting;
  for (const auto& row : rows)
    if (row.state == Notice::State::waiting && !row.incident.empty()) waiting.push_back(row);
  auto dropped = planner_.restore(std::move(rows), incidents, last_number);
  delivery_.take(waiting);
  delivery_.take(dropped);
  return dropped;
}

Hooks::Notices Hooks::plan(const incidents::Transition& transition) {
  auto notices = planner_.plan(transition, clock_.wall_now());
  note_full();
  return notices;
}

Hooks::Notices Hooks::tick() {
  auto notices = planner_.tick(clock_.wall_now());
  note_full();
  return notices;
}

void Hooks::deliver(const Notices& notices) { delivery_.take(notices); }

// Says once that notices are not even planned.
void Hooks::note_full() {
  const auto refused = planner_.counters().refused;
  if (refused == refused_) return;
  if (refused_ == 0)
    spdlog::error("[hook-full] {} notices wait for one hook: it is told of nothing new until there is room",
                  Planner::kMostWaiting);
  refused_ = refused;
}

void Hooks::settled(const Notice& notice) {
  Notices changed = planner_.settled(notice, clock_.wall_now());
  Notices all = changed;
  all.insert(all.begin(), notice);
  if (keep_) keep_(all);
  delivery_.take(changed);
}

void Hooks::test(const std::string& hook, std::function<void(model::Result<std::string>)> done) {
  const auto notice = planner_.test(hook, clock_.wall_now());
  if (!notice) {
    done(model::Error{model::Error::Kind::invalid, "testing the hook", hook, "no hook of this name is configured"});
    return;
  }
  delivery_.send_now(*notice, [hook, done = std::move(done)](const Reply& reply) {
    if (reply.verdict == Reply::Verdict::delivered) return done(reply.text);
    done(model::Error{model::Error::Kind::refused, "testing the hook", hook, reply.text});
  });
}

Hooks::Counters Hooks::counters() const { return {delivery_.counters(), planner_.counters()}; }

std::map<std::string, Delivery::OfHook> Hooks::each() const { return delivery_.each(); }

void Hooks::stop() { delivery_.stop(); }

}  // namespace frisket::hooks
