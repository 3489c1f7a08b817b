// The daemon's main: arguments, logging, signals. Everything else is wired in
// daemon/service.
#include <spdlog/pattern_formatter.h>
#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/signal_set.hpp>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <filesystem>
#include <iostream>
#include <memory>
#include <string>

#include "config/loader.h"
#include "config/token.h"
#include "daemon/http/token_text.h"
#include "daemon/service/service.h"
#include "daemon/store/backup.h"
#include "daemon/store/sqlite_store.h"
#include "probes/clock/clock.h"
#include "probes/discovery/command.h"

namespace {

namespace asio = boost::asio;

// Exit statuses of frisketd: 0 done, 1 it failed at run time, 2 usage or configuration.
constexpr int kFailed = 1;
constexpr int kUsage = 2;

// Under systemd the journal has the time already, and takes the priority from a leading
// "<N>" (sd-daemon(3)). spdlog cannot write that number by itself.
class Priority final : public spdlog::custom_flag_formatter {
 public:
  void format(const spdlog::details::log_msg& message, const std::tm&, spdlog::memory_buf_t& out) override {
    static constexpr char kPriority[] = {'7', '7', '6', '4', '3', '2', '6'};  // trace ... off
    out.push_back('<');
    out.push_back(kPriority[static_cast<std::size_t>(message.level)]);
    out.push_back('>');
  }
  std::unique_ptr<custom_flag_formatter> clone() const override { return std::make_unique<Priority>(); }
};

void set_up_log(const std::string& level) {
  auto logger = spdlog::stderr_logger_st("frisketd");
  if (std::getenv("JOURNAL_STREAM") != nullptr) {
    auto formatter = std::make_unique<spdlog::pattern_formatter>();
    formatter->add_flag<Priority>('*').set_pattern("%*%v");
    logger->set_formatter(std::move(formatter));
  } else {
    logger->set_pattern("%Y-%m-%dT%H:%M:%S.%eZ %l %v", spdlog::pattern_time_type::utc);
  }
  logger->set_level(spdlog::level::from_str(level));
  logger->flush_on(spdlog::level::trace);
  spdlog::set_default_logger(std::move(logger));
}

// Prints what is wrong and whether the file can be used. Same code as at start and reload.
int check(const std::string& file, const frisket::config::Loaded& loaded) {
  for (const auto& finding : loaded.findings) std::fprintf(stdout, "%s\n", finding.text().c_str());
  if (!loaded.ok()) return kUsage;
  std::fprintf(stdout, "%s: usable, %zu devices at %zu sites, %zu hooks\n", file.c_str(), loaded.config.devices.size(),
               loaded.config.sites.size(), loaded.config.hooks.size());
  return 0;
}

class Signals {
 public:
  Signals(asio::io_context& context, frisket::service::Service& service) : set_(context), service_(service) {
    set_.add(SIGTERM);
    set_.add(SIGINT);
    set_.add(SIGHUP);
    wait();
  }

 private:
  void wait() {
    set_.async_wait([this](const boost::system::error_code& failure, int number) {
      if (failure) return;
      if (number != SIGHUP) return service_.stop();  // and no further wait, so the context can run out
      service_.reload();
      wait();
    });
  }

  asio::signal_set set_;
  frisket::service::Service& service_;
};

int run(const std::string& file, frisket::config::Loaded loaded) {
  set_up_log(loaded.config.daemon.log_level);
  frisket::service::log_findings(loaded);
  if (!loaded.ok()) return kUsage;
  asio::io_context context(1);
  frisket::SystemClock clock;
  frisket::service::Service service(context, clock, file, std::move(loaded.config));
  const Signals signals(context, service);
  if (const auto started = service.start(); !started) {
    spdlog::error("[not-started] {}", started.error().text());
    return kFailed;
  }
  context.run();
  spdlog::info("[stopped] goodbye");
  return 0;
}

CLI::App* add_discover(CLI::App& app, frisket::discovery::Command& command) {
  auto* discover = app.add_subcommand("discover", "Ask ranges of addresses, and print configuration for the printers");
  discover->add_option("ranges", command.ranges, "Addresses and ranges: 192.0.2.0/24, 192.0.2.17, 2001:db8::17")
      ->type_name("CIDR")
      ->required();
  discover
      ->add_option("--community-file", command.community_file,
                   "Ask with the community in this file, beside the credentials of the configuration")
      ->type_name("FILE");
  discover->add_option("--snmp-version", command.version, "SNMP version for the community file")
      ->check(CLI::IsMember({"1", "2c"}))
      ->capture_default_str();
  discover->add_option("--port", command.port, "UDP port of the agents")
      ->check(CLI::Range(1, 65535))
      ->capture_default_str();
  discover->add_option("--rate", command.rate, "Most requests a second, repetitions included")
      ->check(CLI::Range(1, 10000))
      ->capture_default_str();
  discover->add_option("--site", command.site, "The site to put them in (default: the first of the configuration)")
      ->type_name("NAME");
  discover->add_flag("--yes", command.many, "Also ask more than 65,536 addresses");
  discover->add_flag("--json", command.json, "Print JSON in place of configuration");
  discover->fallthrough();  // --config may stand on either side of the verb
  return discover;
}

struct NewToken {
  std::string name;
  std::string right;
};

CLI::App* add_token(CLI::App& app, NewToken& token) {
  auto* verb = app.add_subcommand("token", "Make a token, and the line for the file of tokens ([daemon] tokens)");
  verb->add_option("name", token.name, "What the token is called in the record of changes")
      ->type_name("NAME")
      ->required();
  verb->add_option("right", token.right, "What it may do; each includes those before")
      ->check(CLI::IsMember({"read", "operate", "administer"}))
      ->required();
  verb->footer(
      "The token goes to standard output, and is kept nowhere. The line, which holds only its hash, goes to standard "
      "error:\n  frisketd token desk operate 2>>/etc/frisket/tokens >desk-token");
  return verb;
}

// All that is on standard error may stand in the file of tokens.
int make_token(const NewToken& wanted) {
  if (!frisket::config::is_token_name(wanted.name)) {
    std::fprintf(
        stderr,
        "# frisketd: a token's name is 1 to 64 letters, digits, '.', '-' and '_', and neither loopback nor nobody\n");
    return kUsage;
  }
  const auto text = frisket::http::new_token();
  if (!text) {
    std::fprintf(stderr, "# frisketd: this machine has no random numbers to make a token of\n");
    return kFailed;
  }
  const frisket::config::Token token{wanted.name, *frisket::config::right_from(wanted.right),
                                     frisket::http::hash_of(*text)};
  // The token first: without it the line is of no use.
  if (std::printf("%s\n", text->c_str()) < 0 || std::fflush(stdout) != 0) {
    std::fprintf(stderr, "# frisketd: the token cannot be written to standard output\n");
    return kFailed;
  }
  std::fprintf(stderr, "# The token is on standard output, once. This line is for the file of tokens:\n%s\n",
               token_line(token).c_str());
  return 0;
}

// A copy of the store, which a running daemon may have open.
int back_up(const frisket::config::Loaded& loaded, const std::string& to) {
  if (!loaded.ok()) {
    for (const auto& finding : loaded.findings) std::fprintf(stderr, "frisketd: %s\n", finding.text().c_str());
    return kUsage;
  }
  const auto from = loaded.config.daemon.state_dir / frisket::store::kStoreFile;
  const auto done = frisket::store::backup_database(from, to);
  if (done) return 0;
  std::fprintf(stderr, "frisketd: %s\n", done.error().text().c_str());
  return done.error().kind == frisket::model::Error::Kind::invalid ? kUsage : kFailed;
}

}  // namespace

int main(int argc, char** argv) {
  // A peer that closes its end is an error value, not a death.
  std::signal(SIGPIPE, SIG_IGN);
  CLI::App app{"frisketd: keeps an office's printers printing"};
  std::string file = "/etc/frisket/frisket.toml";
  bool only_check = false;
  const auto* named = app.add_option("--config", file, "The configuration file")->capture_default_str();
  const auto* checking = app.add_flag(
      "--check", only_check, "Check the configuration, print what is wrong with it, and exit (0 usable, 2 not)");
  frisket::discovery::Command command;
  const auto* discover = add_discover(app, command);
  std::string copy;
  auto* backup = app.add_subcommand("backup", "Copy what is kept into a new file, while the daemon goes on");
  backup->add_option("file", copy, "The new file")->type_name("FILE")->required();
  backup->fallthrough();
  NewToken wanted;
  const auto* token = add_token(app, wanted);
  app.set_version_flag("--version", std::string("frisketd ") + FRISKET_VERSION);
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& failure) {
    return app.exit(failure) == 0 ? 0 : kUsage;
  }
  try {
    if (discover->parsed()) {
      if (checking->count() > 0) {
        std::fprintf(stderr, "frisketd: --check and discover do not go together\n");
        return kUsage;
      }
      // The usual file counts where there is one; one that was named has to be there.
      if (named->count() > 0 || std::filesystem::exists(file)) command.config_file = file;
      return frisket::discovery::run(command, std::cout, std::cerr, ::isatty(STDERR_FILENO) == 1);
    }
    if (token->parsed()) return make_token(wanted);
    auto loaded = frisket::config::load(file);
    if (backup->parsed()) return back_up(loaded, copy);
    return only_check ? check(file, loaded) : run(file, std::move(loaded));
  } catch (const std::exception& failure) {
    std::fprintf(stderr, "frisketd: internal error: %s\n", failure.what());
    return kFailed;
  }
}
