#include "daemon/service/service.h"

#include <spdlog/spdlog.h>

#include <algorithm>
#include <boost/asio/awaitable.hpp>
#include <filesystem>
#include <map>
#include <random>
#include <string>
#include <system_error>
#include <utility>
#include <vector>

#include "daemon/hooks/hooks.h"
#include "daemon/http/commands.h"
#include "daemon/http/fleet_board.h"
#include "daemon/http/server.h"
#include "daemon/incidents/correlator.h"
#include "daemon/service/device_probes.h"
#include "daemon/service/escaped.h"
#include "daemon/service/ledger.h"
#include "daemon/service/notifications.h"
#include "daemon/service/pollers.h"
#include "daemon/service/queue_desk.h"
#include "daemon/service/service_manager.h"
#include "daemon/service/test_printer.h"
#include "daemon/service/trusted_certificates.h"
#include "daemon/service/upkeep_desk.h"
#include "probes/clock/task_group.h"
#include "probes/ipp/device_probe.h"
#include "probes/ipp/transport.h"
#include "probes/model/identity.h"
#include "probes/snmp/device_probe.h"
#include "probes/snmp/network.h"

namespace frisket::service {
namespace {

namespace asio = boost::asio;
using namespace std::chrono_literals;

// How often what is due without a reading is looked at.
constexpr auto kTick = 1s;

using IppProbe = ProbeOver<model::DeviceReading, ipp::DeviceProbe>;
using SnmpProbe = ProbeOver<model::DeviceReading, snmp::DeviceProbe>;

void log_change(const std::string& device, const model::DeviceSnapshot& last, const model::DeviceSnapshot& now) {
  const auto had = model::identity_of(last);
  const auto has = model::identity_of(now);
  const auto change = model::change_of(had, has);
  if (change.serial) spdlog::warn("[device-changed] {}: serial number {}, was {}", device, has.serial, had.serial);
  if (change.firmware) spdlog::info("[device-changed] {}: firmware {}, was {}", device, has.firmware, had.firmware);
}

std::map<std::string, std::uint64_t> hook_counters(const hooks::Hooks::Counters& counters) {
  const auto& delivery = counters.delivery;
  return {
      {"started", delivery.started},     {"succeeded", delivery.succeeded},     {"failed", delivery.failed},
      {"timed_out", delivery.timed_out}, {"parked", delivery.parked},           {"waiting", delivery.waiting},
      {"running", delivery.running},     {"dropped", counters.planner.dropped}, {"refused", counters.planner.refused}};
}

http::FleetBoard::Health::Durations duration_counts(const Pollers::Counters& counters) {
  const auto seconds = [](model::Milliseconds span) { return std::chrono::duration<double>(span).count(); };
  http::FleetBoard::Health::Durations durations;
  for (const auto bound : PollTasks::kDurationBounds) durations.bounds.push_back(seconds(bound));
  durations.counts.assign(counters.durations.begin(), counters.durations.end());
  durations.sum = seconds(counters.time_taken);
  return durations;
}

http::FleetBoard::Health::Notifications notification_health(const Notifications::State& state) {
  http::FleetBoard::Health::Notifications health{state.listening, state.trouble, state.counters, {}};
  for (const auto& sender : state.unknown_senders)
    health.unknown_senders.push_back({sender.address, sender.count, sender.last});
  return health;
}

http::Options listener_options(const config::Daemon& daemon) {
  http::Options options;
  options.address = daemon.listen.address;
  options.port = daemon.listen.port;
  // The folder is made by the package's tmpfiles; without it there is simply no UNIX socket.
  std::error_code ignored;
  if (!daemon.socket.empty() && std::filesystem::is_directory(daemon.socket.parent_path(), ignored))
    options.unix_socket = daemon.socket;
  return options;
}

}  // namespace

struct Service::Parts final : http::Commands, http::AuditTrail {
  Parts(asio::io_context& io, Clock& time, std::filesystem::path path, config::Config loaded)
      : context(io), clock(time), file(std::move(path)), config(std::move(loaded)) {
    board.configure(config);
    board.set_health_source([this] { return health(); });
    server.set_tokens(config.tokens);
    ledger.on_replacement([this](const auto& replacement) { upkeep_desk.replaced(replacement); });
    hooks.configure(config);  // nothing waits yet that could be dropped
  }

  Pace take(const model::DeviceReading& reading) {
    const auto* status = correlator.device(reading.device);
    const auto last = status != nullptr ? status->snapshot : nullptr;
    const auto transitions = correlator.apply(reading);
    ledger.take(reading, transitions, config);
    if (last && reading.snapshot && last != reading.snapshot && !model::same_sources(*last, *reading.snapshot))
      log_change(reading.device, *last, *reading.snapshot);
    status = correlator.device(reading.device);
    if (status == nullptr) return Pace::usual;
    board.publish_device(reading.device, *status, reading.at);
    if (!transitions.empty()) queues.device_changed(reading.device);
    return pace_for(*status);
  }

  void act(const std::string& incident, incidents::OperatorAction action, Acted done) override {
    auto transitions = correlator.act(incident, std::move(action));
    if (!transitions) return done(transitions.error());
    auto after = transitions->back().incident;
    ledger.take(*transitions, [done = std::move(done), after = std::move(after)] { done(after); });
  }

  void test_hook(const std::string& hook, Tested done) override { hooks.test(hook, std::move(done)); }

  void record(model::AuditRecord record, std::function<void()> kept) override {
    ledger.record(std::move(record), std::move(kept));
  }
  void read_audit(const model::AuditWindow& window, Read done) override { ledger.read_audit(window, std::move(done)); }
  void act_on_queue(http::QueueAct act, QueueActed done) override { queues.act(std::move(act), std::move(done)); }

  void test_print(http::TestPrint asked, TestPrinted done) override {
    test_printer.print(config, std::move(asked), std::move(done));
  }

  http::Upkeep* upkeep() override { return &upkeep_desk; }

  asio::awaitable<void> tick() {
    while (!stopping) {
      co_await ticker->until(clock.steady_now() + kTick);
      if (stopping) break;
      ledger.take(correlator.tick(clock.wall_now()));
      ledger.keep_and_deliver(hooks.tick());
      ledger.tick(config.store);
      manager.status(status_line());
      upkeep_desk.tick();
    }
  }

  // Only the thread that everything else needs can say that it is alive. A store that cannot be written is no reason to
  // be ended: the daemon goes on watching and telling without, and what waits to be written would be lost.
  asio::awaitable<void> show_life() {
    const auto beat = manager.beat();
    while (beat && !stopping) {
      manager.alive();
      co_await life->until(clock.steady_now() + *beat);
    }
  }

  // For whoever looks at the service from outside.
  std::string status_line() const {
    std::string line = "watching " + std::to_string(config.devices.size()) + " devices at " +
                       std::to_string(config.sites.size()) + " sites";
    if (configuration != "ok") line += "; " + configuration;
    const auto trouble = ledger.health().trouble;
    if (!trouble.empty()) line += "; the store: " + trouble;
    return line;
  }

  void reload() {
    auto loaded = config::load(file);
    log_findings(loaded);
    if (!loaded.ok()) {
      configuration = "the last reload was refused, the configuration before it is in force";
      spdlog::error("[reload-refused] {} is wrong; the configuration before it stays in force", file.string());
      return;
    }
    if (!(loaded.config.daemon == config.daemon))
      spdlog::warn("[reload-needs-restart] [daemon] has changed: its keys take effect at the next start");
    configuration = "ok";
    config = std::move(loaded.config);
    server.set_tokens(config.tokens);
    if (const auto taken = server.set_certificate(config.certificate); !taken)
      spdlog::error("[certificate-refused] {}; the one before it is shown", taken.error().text());
    network.configure(config.polling);
    ledger.keep_and_deliver(hooks.configure(config));
    board.configure(config);
    ledger.take(correlator.reconfigure(config, clock.wall_now()));
    certificates.read();
    pollers.configure(config);
    queues.configure();
    upkeep_desk.configure();
    notifications.configure(config);
    spdlog::info("[reloaded] {} devices at {} sites, {} hooks", config.devices.size(), config.sites.size(),
                 config.hooks.size());
  }

  http::FleetBoard::Health health() const {
    http::FleetBoard::Health health;
    health.started_at = started_at;
    health.polls = pollers.counters().finished;
    health.polls_missed = pollers.counters().missed;
    health.polls_late = pollers.counters().late;
    health.poll_durations = duration_counts(pollers.counters());
    health.configuration = configuration;
    health.snmp = network.counters();
    health.ipp = print_services.counters();
    health.ipp["open"] = print_services.open_connections();
    health.queue_polls = queues.counters();
    health.hooks = hook_counters(hooks.counters());
    for (const auto& [name, each] : hooks.each())
      health.each_hook[name] = {
          {"waiting", each.waiting}, {"told", each.told}, {"failed", each.failed}, {"parked", each.parked}};
    health.store = ledger.health();
    health.notifications = notification_health(notifications.state());
    return health;
  }

  asio::awaitable<void> insist(std::chrono::seconds grace) {
    co_await insister->until(clock.steady_now() + grace);
    const auto left = pollers.running() + queues.running();
    if (left == 0) co_return;
    spdlog::warn("[stop-insisted] {} polls had not ended after {} s and are left behind", left, grace.count());
    context.stop();
  }

  std::unique_ptr<Probe> probe_for(const config::Device& device, config::Credentials credentials,
                                   const config::Config& configured) {
    std::unique_ptr<Probe> over_ipp;
    if (device.ipp)
      over_ipp =
          std::make_unique<SameAgain>(std::make_unique<IppProbe>(print_services, clock, device.name, *device.ipp));
    if (over_ipp && credentials->empty()) return over_ipp;
    std::unique_ptr<Probe> over_snmp = std::make_unique<SnmpProbe>(network, clock, device, std::move(credentials));
    if (!over_ipp) return over_snmp;
    return std::make_unique<BothWays>(std::move(over_snmp), std::move(over_ipp), configured.polling.silent_after);
  }

  asio::io_context& context;
  Clock& clock;
  std::filesystem::path file;
  config::Config config;
  std::string configuration = "ok";
  model::WallTime started_at = clock.wall_now();
  bool stopping = false;

  ServiceManager manager{ServiceManager::invitation()};
  TaskGroup tasks{context.get_executor(), log_escaped};
  std::unique_ptr<Sleeper> ticker = clock.make_sleeper(context.get_executor());
  std::unique_ptr<Sleeper> life = clock.make_sleeper(context.get_executor());
  std::unique_ptr<Sleeper> insister = clock.make_sleeper(context.get_executor());
  incidents::Correlator correlator{config};
  http::FleetBoard board;
  http::Server server{context.get_executor(), board, clock, listener_options(config.daemon), this, this};
  hooks::Hooks hooks{context.get_executor(), clock, hooks::all_transports(context.get_executor()),
                     std::random_device{}(), [this](const hooks::Hooks::Notices& notices) { ledger.keep(notices); }};
  Ledger ledger{context.get_executor(), clock, correlator, hooks, board};
  snmp::Network network{context.get_executor(), clock, config.polling};
  TrustedCertificates certificates{config.daemon.state_dir / "certificates"};
  ipp::Transport print_services{context.get_executor(),
                                clock,
                                {},
                                {[this](const std::string& endpoint) { return certificates.find(endpoint); },
                                 [this](const std::string& endpoint, const std::string& fingerprint) {
                                   certificates.remember(endpoint, fingerprint);
                                 }}};
  UpkeepDesk upkeep_desk{context.get_executor(), {clock, config, correlator, ledger, board}};
  QueueDesk queues{context.get_executor(), {clock, print_services, config, correlator, ledger, board}};
  Pollers pollers{
      context.get_executor(), clock,
      [this](const config::Device& device, config::Credentials credentials, const config::Config& configured) {
        return probe_for(device, std::move(credentials), configured);
      },
      [this](const model::DeviceReading& reading) { return take(reading); }};
  Notifications notifications{context.get_executor(), clock,
                              [this](const std::string& device) { return pollers.poll_soon(device); }};
  TestPrinter test_printer{context.get_executor(),
                           clock,
                           print_services,
                           correlator,
                           [this](const std::string& device) { return pollers.poll_soon(device); },
                           [this](const auto& outcome) { board.publish_test_print(outcome, clock.wall_now()); }};
};

Service::Service(asio::io_context& context, Clock& clock, std::filesystem::path file, config::Config config)
    : parts_(std::make_unique<Parts>(context, clock, std::move(file), std::move(config))) {}

Service::~Service() = default;

model::Result<model::Done> Service::start() {
  auto& parts = *parts_;
  if (const auto opened = parts.ledger.open(parts.config); !opened) return opened.error();
  parts.upkeep_desk.start();
  if (const auto taken = parts.server.set_certificate(parts.config.certificate); !taken) return taken.error();
  const auto port = parts.server.start();
  if (!port) return port.error();
  spdlog::info("[started] listening on {} port {}, {} devices at {} sites, {} hooks",
               parts.config.daemon.listen.address, *port, parts.config.devices.size(), parts.config.sites.size(),
               parts.config.hooks.size());
  parts.pollers.configure(parts.config);
  parts.queues.configure();
  parts.notifications.configure(parts.config);
  parts.tasks.spawn("tick", parts.tick());
  parts.tasks.spawn("showing life", parts.show_life());
  parts.manager.ready();
  parts.manager.status(parts.status_line());
  return model::Done{};
}

void Service::reload() {
  auto& parts = *parts_;
  parts.manager.reloading(parts.clock.steady_now());
  parts.reload();
  parts.manager.ready();
  parts.manager.status(parts.status_line());
}

void Service::stop(std::chrono::seconds grace) {
  auto& parts = *parts_;
  if (std::exchange(parts.stopping, true)) return;
  spdlog::info("[stopping]");
  parts.manager.stopping();
  parts.tasks.spawn("ending the HTTP service", parts.server.stop());
  parts.notifications.stop();
  parts.pollers.stop();
  parts.test_printer.stop();
  parts.upkeep_desk.stop();
  parts.queues.stop();
  parts.print_services.stop();
  parts.network.stop();
  parts.hooks.stop();
  parts.ticker->wake();
  parts.life->wake();
  parts.tasks.spawn("insist", parts.insist(grace));
  parts.pollers.when_idle([&parts] { parts.queues.when_idle([&parts] { parts.insister->wake(); }); });
}

void log_findings(const config::Loaded& loaded) {
  for (const auto& finding : loaded.findings) {
    if (finding.gravity == config::Finding::Gravity::error)
      spdlog::error("[config-error] {}", finding.text());
    else
      spdlog::warn("[config-warning] {}", finding.text());
  }
}

}  // namespace frisket::service
