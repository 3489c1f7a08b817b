#include "daemon/client/arguments.h"

#include <CLI/CLI.hpp>
#include <cstdlib>
#include <sstream>

#include "daemon/client/answers.h"
#include "daemon/client/display.h"

namespace frisket::client {
namespace {

// What CLI11 writes into; severities stay words until they have been checked.
struct Written {
  Request request;
  std::string fail_on;
  std::string severity;
};

CLI::IsMember one_of_severities() {
  return CLI::IsMember(std::vector<std::string>{"critical", "major", "minor", "warning"});
}

CLI::IsMember one_of_states() {
  return CLI::IsMember(std::vector<std::string>(std::begin(kDeviceStates), std::end(kDeviceStates)));
}

// A name that would vanish from a path or a query is refused here.
CLI::Validator not_empty() {
  return {[](const std::string& text) { return text.empty() ? std::string("must not be empty") : std::string(); }, ""};
}

void add_site(CLI::App& app, Written& written) {
  app.add_option("--site", written.request.site, "Only this site")->type_name("SITE")->check(not_empty());
}

// What belongs to everything that a person says of an incident.
void add_saying(CLI::App& app, Request& request) {
  app.add_option("ID", request.subject, "The incident's id")->required()->check(not_empty());
  app.add_option("--note", request.note, "A sentence that is kept with it")->type_name("TEXT");
  app.add_option("--by", request.by, "Who says it; you, if left out")->type_name("NAME")->check(not_empty());
}

// The options of one verb, beside --json, --server and --token-file, which all have.
void add_options(CLI::App& app, Verb verb, Written& written) {
  Request& request = written.request;
  switch (verb) {
    case Verb::status:
      app.add_option("--fail-on", written.fail_on, "End with 1 if an incident of this severity or worse is open")
          ->type_name("SEVERITY")
          ->check(one_of_severities());
      app.add_flag("--load", request.load, "How many incidents are raised per hour, and whether that is too many");
      add_site(app, written);
      break;
    case Verb::devices:
      add_site(app, written);
      app.add_option("--state", request.state, "Only devices in this state")
          ->type_name("STATE")
          ->check(one_of_states());
      break;
    case Verb::device:
      app.add_option("NAME", request.subject, "The device's name")->required()->check(not_empty());
      break;
    case Verb::supplies:
      app.add_flag("--low", request.low, "Only supplies that are low, and receptacles that are nearly full");
      add_site(app, written);
      break;
    case Verb::incidents:
      app.add_flag("--all", request.all, "Also those that were cleared, shelved or closed");
      app.add_option("--severity", written.severity, "Only this severity and worse")
          ->type_name("SEVERITY")
          ->check(one_of_severities());
      add_site(app, written);
      app.add_option("--kind", request.kind, "Only this kind, such as media-jam")
          ->type_name("KIND")
          ->check(not_empty());
      app.add_option("--device", request.device, "Only this device")->type_name("NAME")->check(not_empty());
      break;
    case Verb::incident:
      app.add_option("ID", request.subject, "The incident's id")->required()->check(not_empty());
      break;
    case Verb::shelve: {
      auto* until = app.add_option("--until", request.until, "Until then, such as 2026-11-26T17:00:00Z")
                        ->type_name("TIME")
                        ->check(not_empty());
      app.add_option("--for", request.duration, "For so long: 90m, 8h, 72h")
          ->type_name("DURATION")
          ->check(not_empty())
          ->excludes(until);
      add_saying(app, request);
      break;
    }
    case Verb::ack:
    case Verb::close:
    case Verb::take_back:
      add_saying(app, request);
      break;
    case Verb::hook_test:
      app.add_option("NAME", request.subject, "The hook's name")->required()->check(not_empty());
      break;
    case Verb::watch:
      break;
  }
}

constexpr const char* kFooter =
    "The environment variables FRISKET_SERVER and FRISKET_TOKEN_FILE stand for --server and --token-file.\n"
    "Exit status: 0 done; 1 something at or above --fail-on is open; 2 usage or configuration,\n"
    "an unknown device, incident or hook among it; 3 the daemon, or the receiver of a tested hook,\n"
    "cannot be reached; 4 it refused.";

}  // namespace

const std::vector<VerbWords>& verbs() {
  static const std::vector<VerbWords> all = {
      {Verb::status, "status", "How the fleet is, and what is open, worst first"},
      {Verb::devices, "devices", "All devices with their state"},
      {Verb::device, "device", "Everything about one device"},
      {Verb::supplies, "supplies", "What is in the devices, and how much is left"},
      {Verb::incidents, "incidents", "What is open"},
      {Verb::incident, "incident", "One incident: evidence, cautions, steps, what to carry"},
      {Verb::ack, "ack", "Say that you have seen an incident and are at it"},
      {Verb::shelve, "shelve", "Put an incident aside for a time; it comes back if it gets worse"},
      {Verb::close, "close", "Say that an incident needs nobody any more"},
      {Verb::take_back, "take-back", "Take back what was said of an incident"},
      {Verb::hook_test, "hook-test", "Tell a test to a hook, and say whether it arrived"},
      {Verb::watch, "watch", "One line for each change, as it happens; Ctrl-C ends it"},
  };
  return all;
}

Arguments read_arguments(int argc, const char* const* argv) {
  Written written;
  Request& request = written.request;
  CLI::App app("Asks frisketd about printers, their supplies and their incidents.", "frisket");
  app.set_version_flag("--version", std::string("frisket " FRISKET_VERSION));
  app.footer(kFooter);
  app.require_subcommand(1);
  for (const VerbWords& each : verbs()) {
    CLI::App* sub = app.add_subcommand(each.name, each.does);
    add_options(*sub, each.verb, written);
    sub->add_flag("--json", request.json, "Print the daemon's own JSON");
    sub->add_option("--server", request.server, "Where the daemon is: unix:/path, http://host:port, https://host:port")
        ->type_name("URL")
        ->check(not_empty());
    sub->add_option("--token-file", request.token_file, "File that holds your token and nothing else")
        ->type_name("FILE")
        ->check(not_empty());
    sub->callback([&request, verb = each.verb] { request.verb = verb; });
  }
  Arguments out;
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    std::ostringstream to_out;
    std::ostringstream to_err;
    const int code = app.exit(error, to_out, to_err);
    out.status = code == 0 ? ExitStatus::done : ExitStatus::usage;
    out.out = to_out.str();
    out.err = to_err.str();
    return out;
  }
  // Not by CLI11, which would let it override --server: all verbs' options share one variable.
  const char* server = std::getenv("FRISKET_SERVER");
  if (request.server.empty() && server != nullptr) request.server = server;
  const char* token_file = std::getenv("FRISKET_TOKEN_FILE");
  if (request.token_file.empty() && token_file != nullptr) request.token_file = token_file;
  request.fail_on = model::severity_from(written.fail_on);
  request.severity = model::severity_from(written.severity);
  out.request = std::move(request);
  return out;
}

}  // namespace frisket::client
