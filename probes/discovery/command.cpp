#include "probes/discovery/command.h"

#include <algorithm>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/signal_set.hpp>
#include <csignal>
#include <optional>
#include <ostream>
#include <utility>

#include "config/loader.h"
#include "config/syntax.h"
#include "probes/clock/clock.h"
#include "probes/discovery/naming.h"
#include "probes/discovery/progress.h"
#include "probes/discovery/report.h"
#include "probes/discovery/scan.h"
#include "probes/discovery/targets.h"

namespace frisket::discovery {
namespace {

namespace asio = boost::asio;

constexpr const char* kProgram = "frisketd discover: ";

// Everything that is decided before the first datagram.
struct Plan {
  Targets targets;
  std::optional<config::Config> configured;
  Settings settings;
  std::string site;
  std::string new_credential;  // of the community file
  std::uint64_t skipped = 0;
  std::uint64_t by_name = 0;  // configured devices whose address is a host name
};

int refuse(std::ostream& err, const std::string& why) {
  err << kProgram << why << "\n";
  return kUsage;
}

void print(std::ostream& err, const std::vector<config::Finding>& findings, config::Finding::Gravity gravity) {
  for (const auto& finding : findings) {
    if (finding.gravity == gravity) err << finding.text() << "\n";
  }
}

// "1234567" with commas.
std::string grouped(std::uint64_t number) {
  auto text = std::to_string(number);
  for (auto place = static_cast<std::ptrdiff_t>(text.size()) - 3; place > 0; place -= 3)
    text.insert(static_cast<std::size_t>(place), ",");
  return text;
}

std::string duration_text(std::uint64_t seconds) {
  if (seconds < 120) return std::to_string(seconds) + " seconds";
  if (seconds < 7200) return std::to_string(seconds / 60) + " minutes";
  return grouped(seconds / 3600) + " hours";
}

// The same checks as for a credential in the configuration, by the same code.
bool add_community_file(const Command& command, Plan& plan, std::ostream& err) {
  UniqueNames names;
  if (plan.configured) {
    for (const auto& credential : plan.configured->credentials) names.reserve(credential.name);
  }
  plan.new_credential = names.unique("discovery-read");
  const auto path = std::filesystem::absolute(command.community_file).string();
  const auto loaded = config::load_text("[[credential]]\nname = " + toml_text(plan.new_credential) + "\nversion = " +
                                            toml_text(command.version) + "\ncommunity_file = " + toml_text(path) + "\n",
                                        "--community-file");
  for (const auto& finding : loaded.findings) err << kProgram << "--community-file: " << finding.what << "\n";
  if (!loaded.ok() || loaded.config.credentials.empty()) return false;
  plan.settings.credentials.push_back(loaded.config.credentials.front());
  return true;
}

void skip_configured(const Command& command, Plan& plan) {
  for (const auto& device : plan.configured->devices) {
    boost::system::error_code no_literal;
    const auto address = asio::ip::make_address(device.address, no_literal);
    if (no_literal) {
      ++plan.by_name;
    } else if (device.port == command.port && plan.targets.exclude(address)) {
      ++plan.skipped;
    }
  }
}

std::string site_for(const Command& command, const Plan& plan) {
  if (!command.site.empty()) return command.site;
  if (plan.configured && !plan.configured->sites.empty()) return plan.configured->sites.front().name;
  return "site";
}

int prepare(const Command& command, Plan& plan, std::ostream& err) {
  auto targets = Targets::parse(command.ranges);
  if (!targets) return refuse(err, targets.error().what);
  plan.targets = std::move(*targets);
  if (!command.site.empty() && !config::is_name(command.site))
    return refuse(err, "--site: allowed: 1 to 64 letters, digits, '.', '-' and '_'");
  const auto count = plan.targets.count();
  plan.settings.rate = command.rate;
  if (count > kManyAddresses && !command.many) {
    return refuse(err, grouped(count) + " addresses are more than " + grouped(kManyAddresses) + " and take at least " +
                           duration_text(count / static_cast<std::uint64_t>(command.rate)) +
                           "; --yes asks them all the same");
  }
  if (!command.config_file.empty()) {
    auto loaded = config::load(command.config_file);
    print(err, loaded.findings, config::Finding::Gravity::error);
    if (!loaded.ok()) return kUsage;
    plan.configured = std::move(loaded.config);
    plan.settings.credentials = plan.configured->credentials;
    plan.settings.timeout = plan.configured->polling.timeout;
    skip_configured(command, plan);
  }
  if (!command.community_file.empty() && !add_community_file(command, plan, err)) return kUsage;
  if (plan.settings.credentials.empty()) {
    return refuse(err,
                  "no credential to ask with; give --community-file FILE (a file that holds the community and nothing "
                  "else), or --config FILE with a [[credential]] section");
  }
  plan.settings.port = command.port;
  plan.site = site_for(command, plan);
  return kDone;
}

void announce(const Command& command, const Plan& plan, std::ostream& err) {
  const auto count = plan.targets.count();
  err << kProgram << grouped(count) << (count == 1 ? " address" : " addresses") << ", port " << command.port
      << ", at most " << command.rate << " requests a second";
  if (plan.skipped > 0) err << "; " << plan.skipped << " skipped since they are configured";
  err << "\n";
  if (plan.by_name > 0) {
    err << kProgram << plan.by_name
        << " configured by host name, which is not looked up: these may be found once more\n";
  }
}

// Runs the scan until it ends or somebody wants it to.
std::exception_ptr run_scan(asio::io_context& context, Scan& scan) {
  std::exception_ptr escaped;
  asio::signal_set signals(context, SIGINT, SIGTERM);
  signals.async_wait([&](const boost::system::error_code& failure, int) {
    if (!failure) scan.stop();
  });
  auto ended = [&](std::exception_ptr what) {
    escaped = std::move(what);
    signals.cancel();
    context.stop();  // the sockets would wait for more
  };
  asio::co_spawn(context, scan.run(), std::move(ended));
  context.run();
  return escaped;
}

}  // namespace

int run(const Command& command, std::ostream& out, std::ostream& err, bool err_is_terminal) {
  Plan plan;
  if (const int status = prepare(command, plan, err); status != kDone) return status;
  announce(command, plan, err);

  Progress progress(err_is_terminal);
  asio::io_context context(1);
  SystemClock clock;
  snmp::Network network(context.get_executor(), clock, Scan::polling(plan.settings));
  Scan scan(context.get_executor(), network, clock, plan.targets, plan.settings,
            [&](const Tally& tally) { err << progress.after(tally) << std::flush; });
  const auto escaped = run_scan(context, scan);
  network.stop();
  err << progress.end();
  if (escaped) std::rethrow_exception(escaped);

  const auto& tally = scan.tally();
  if (scan.stopped()) {
    err << kProgram << "interrupted after " << tally.done() << " of " << tally.total
        << " addresses; this is what was found so far\n";
  }
  if (tally.unsent > 0)
    err << kProgram << tally.unsent << " addresses could not be asked: " << tally.send_error << "\n";

  auto report = make_report(scan.found(), plan.configured ? &*plan.configured : nullptr, plan.settings.credentials);
  report.port = command.port;
  report.site = plan.site;
  report.new_site = !plan.configured || plan.configured->find_site(plan.site) == nullptr;
  report.new_credential = plan.new_credential;
  report.new_credential_version = plan.settings.credentials.back().version;
  if (!command.community_file.empty())
    report.community_file = std::filesystem::absolute(command.community_file).string();
  report.tally = tally;
  report.skipped = plan.skipped;
  report.complete = !scan.stopped();
  out << (command.json ? to_json(report) : to_toml(report)) << std::flush;
  return kDone;
}

}  // namespace frisket::discovery
