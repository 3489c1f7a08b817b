#include "daemon/client/arguments.h"

#include <CLI/CLI.hpp>
#include <cstdlib>
#include <limits>
#include <sstream>

#include "daemon/client/answers.h"
#include "daemon/client/completion.h"
#include "daemon/client/display.h"
#include "daemon/client/queue_answers.h"
#include "daemon/client/upkeep_arguments.h"

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

constexpr const char* kQueueFooter =
    "Acts:\n"
    "  jobs      list the jobs that are not over\n"
    "  pause     begin no further job; jobs are still taken\n"
    "  resume    go on\n"
    "  cancel    --head the job that is printed or would be next, --job N, or --waiting all that wait\n"
    "  move      --to OTHER: the waiting jobs go to another queue of the same spooler\n"
    "  restart   the spooler, by the program that is configured for it\n"
    "A queue that does not move: look at it first, and at its jobs. If its printer is in trouble, mend that: the jobs\n"
    "come by themselves. If the printer is well and the first job hangs, cancel --head. Every act takes --dry-run.\n"
    "cancel --waiting, move and restart can lose jobs: they show what would go and ask; without a terminal, say --yes.";

CLI::IsMember one_of_queue_states() {
  return CLI::IsMember(std::vector<std::string>(std::begin(kQueueStates), std::end(kQueueStates)));
}

void add_queues(CLI::App& app, Written& written) {
  Request& request = written.request;
  add_site(app, written);
  app.add_option("--state", request.state, "Only queues in this state")
      ->type_name("STATE")
      ->check(one_of_queue_states());
  app.add_option("--device", request.device, "Only queues that print on this device")
      ->type_name("NAME")
      ->check(not_empty());
  app.add_option("--spooler", request.spooler, "Only queues of this spooler")->type_name("NAME")->check(not_empty());
}

void add_queue(CLI::App& app, Request& request) {
  const std::vector<std::string> acts = {"jobs", "pause", "resume", "cancel", "move", "restart"};
  app.add_option("NAME", request.subject, "The queue's name")->required()->check(not_empty());
  app.add_option("ACT", request.act, "What to do; left out: show the queue")->check(CLI::IsMember(acts));
  app.add_flag("--head", request.head, "cancel: the job that is printed or would be next");
  app.add_option("--job", request.job, "cancel: the job with this id")
      ->type_name("N")
      ->check(CLI::Range(1, std::numeric_limits<std::int32_t>::max()));
  app.add_flag("--waiting", request.waiting, "cancel: all jobs that wait; the one that is printed goes on");
  app.add_option("--to", request.to, "move: the queue that takes the jobs")->type_name("OTHER")->check(not_empty());
  app.add_flag("--dry-run", request.dry_run, "Say what would be done, and to which jobs, and do nothing");
  app.add_flag("--yes", request.yes, "Do not ask before jobs can be lost");
  app.add_option("--note", request.note, "Why; a sentence that is kept with it")->type_name("TEXT");
  app.add_option("--by", request.by, "Who wants it; you, if left out")->type_name("NAME")->check(not_empty());
  app.footer(kQueueFooter);
}

// What does not fit together in a request about a queue; empty if all does.
std::string misfit_of_queue(const Request& request) {
  const int which =
      static_cast<int>(request.head) + static_cast<int>(request.job != 0) + static_cast<int>(request.waiting);
  if (request.act == "cancel" && which != 1) return "cancel takes exactly one of --head, --job N and --waiting";
  if (request.act != "cancel" && which != 0) return "--head, --job and --waiting belong to cancel";
  if (request.act == "move" && request.to.empty()) return "move needs --to OTHER, the queue that takes the jobs";
  if (request.act != "move" && !request.to.empty()) return "--to belongs to move";
  const bool changes = !request.act.empty() && request.act != "jobs";
  if (!changes && (request.dry_run || request.yes || !request.by.empty() || !request.note.empty()))
    return "--dry-run, --yes, --by and --note belong to acts that change something";
  return "";
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
    case Verb::queues:
      add_queues(app, written);
      break;
    case Verb::queue:
      add_queue(app, request);
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
      app.add_option("--queue", request.queue, "Only this print queue")->type_name("NAME")->check(not_empty());
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
    case Verb::testprint:
      app.add_option("DEVICE", request.subject, "The device's name")->required()->check(not_empty());
      app.add_option("--incident", request.incident, "The incident that it is for: its id stands on the page")
          ->type_name("ID")
          ->check(not_empty());
      app.add_flag("--dry-run", request.dry_run, "Say which way and in which format it would go, and print nothing");
      app.add_option("--note", request.note, "Why; a sentence that is kept with it")->type_name("TEXT");
      app.add_option("--by", request.by, "Who wants it; you, if left out")->type_name("NAME")->check(not_empty());
      break;
    case Verb::hook_test:
      app.add_option("NAME", request.subject, "The hook's name")->required()->check(not_empty());
      break;
    case Verb::watch:
      break;
    case Verb::order:
    case Verb::stock:
    case Verb::round:
    case Verb::upkeep:
    case Verb::complain:
    case Verb::meter:
    case Verb::reliability:
    case Verb::history:
      add_upkeep_options(app, verb, request);
      break;
  }
}

constexpr const char* kFooter =
    "The environment variables FRISKET_SERVER and FRISKET_TOKEN_FILE stand for --server and --token-file.\n"
    "Exit status: 0 done; 1 something at or above --fail-on is open, or a test page was not printed;\n"
    "2 usage or configuration, an unknown device, queue, incident, hook, task or symptom among it; 3 the daemon, a "
    "queue's\n"
    "spooler, or the receiver of a tested hook cannot be reached; 4 it refused.";

}  // namespace

const std::vector<VerbWords>& verbs() {
  static const std::vector<VerbWords> all = {
      {Verb::status, "status", "How the fleet is, and what is open, worst first"},
      {Verb::devices, "devices", "All devices with their state"},
      {Verb::device, "device", "Everything about one device"},
      {Verb::supplies, "supplies", "What is in the devices, and how much is left"},
      {Verb::queues, "queues", "All print queues with their state and what waits in them"},
      {Verb::queue, "queue", "One print queue: look at it, list its jobs, pause, resume, cancel, move, restart"},
      {Verb::incidents, "incidents", "What is open"},
      {Verb::incident, "incident", "One incident: evidence, cautions, steps, what to carry"},
      {Verb::ack, "ack", "Say that you have seen an incident and are at it"},
      {Verb::shelve, "shelve", "Put an incident aside for a time; it comes back if it gets worse"},
      {Verb::close, "close", "Say that an incident needs nobody any more"},
      {Verb::take_back, "take-back", "Take back what was said of an incident"},
      {Verb::testprint, "testprint", "Print a test page on a device, and say whether it came out"},
      {Verb::order, "order", "What to order: how many of which part, by when, for which devices, and why"},
      {Verb::stock, "stock", "What is on the shelf and on the way; say what you counted, ordered, got or used"},
      {Verb::round, "round", "Where to go on one visit, what to do there, and what to carry"},
      {Verb::upkeep, "upkeep", "What has to be serviced and when; say that it was done"},
      {Verb::complain, "complain", "From what a user says is wrong with the output to what it probably is"},
      {Verb::meter, "meter", "What was printed in a month, device by device"},
      {Verb::reliability, "reliability", "How often devices jam beside the others, and how long they could not print"},
      {Verb::history, "history", "A device's levels and impressions over time"},
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
  // Not in the help: it is the package's way to write what the shells read.
  std::string shell;
  app.add_option_function<std::string>("--completion",
                                       [&shell](const std::string& wanted) {
                                         shell = wanted;
                                         throw CLI::Success();
                                       })
      ->check(CLI::IsMember({"bash", "zsh", "fish"}))
      ->trigger_on_parse()
      ->group("");
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
    sub->callback([&request, verb = each.verb, name = each.name] {
      request.verb = verb;
      const std::string misfit = verb == Verb::queue ? misfit_of_queue(request) : settle_upkeep(request);
      if (!misfit.empty()) throw CLI::ValidationError(name, misfit);
    });
  }
  Arguments out;
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    if (const auto script = completion(app, shell)) {
      out.out = *script;
      return out;
    }
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
