#include "daemon/client/upkeep_arguments.h"

#include <CLI/CLI.hpp>
#include <algorithm>

#include "daemon/client/moments.h"

namespace frisket::client {
namespace {

constexpr const char* kOrderFooter =
    "What is left over from what the shelf and earlier orders cover, by part number, the most pressing first. Tell "
    "what is\n"
    "on the shelf with `frisket stock`; what the daemon does not know of cannot be counted. A part that is on the way\n"
    "already is not ordered again once you said `frisket stock order PART COUNT`.\n"
    "--sheet prints the list for people, without colour, also into a pipe: frisket order --sheet | lp";

constexpr const char* kStockFooter =
    "Acts:\n"
    "  set      that many are on the shelf: you have counted them; --on-order N says how many are on the way\n"
    "  order    that many more are on the way\n"
    "  receive  that many came: from the way to the shelf\n"
    "  use      that many were taken from the shelf\n"
    "Without an act: what is on the shelf and on the way. A cartridge that was replaced in a device is taken off by "
    "the\n"
    "daemon itself; `use` is for what it cannot see.";

constexpr const char* kUpkeepFooter =
    "Shows what is overdue, due, or due soon; --all also what is due later. With --device, how it is done is shown "
    "too.\n"
    "`frisket upkeep done DEVICE TASK` (or the task's id, DEVICE:TASK) says that it was done: its interval begins\n"
    "anew. The intervals are common practice unless you configured the maker's: the maker's manual comes first.";

constexpr const char* kMeterFooter =
    "A figure with a note is not simply the difference of two readings; the note says what to know before it goes on\n"
    "a bill. Months are those of the site's time zone. --csv is for spreadsheets: frisket meter --csv > october.csv";

constexpr const char* kReliabilityFooter =
    "The last 90 days. A device is said to jam more often only where chance is an unlikely excuse, all devices that "
    "are\n"
    "compared taken together: two jams are no verdict. Impressions stand for sheets, and nobody counts them by tray: "
    "of a\n"
    "tray there are jams and no rate. Models and kinds of incidents are of the whole fleet, whatever --site says.";

constexpr const char* kRoundFooter =
    "What is worth doing now, stop by stop in walking order, with what to carry; what can wait comes last. With "
    "--minutes,\n"
    "what gives most for its time is taken until the time is used up.\n"
    "--sheet prints it for people, without colour, also into a pipe: frisket round --site S --sheet | lp\n"
    "Afterwards, tick off: `frisket upkeep done` for service, `frisket stock use` for parts. Incidents and replaced\n"
    "cartridges the daemon sees by itself.";

constexpr const char* kComplainFooter =
    "frisket complain                        the symptoms that there are\n"
    "frisket complain DEVICE                 what was complained of at a device, with its ids\n"
    "frisket complain DEVICE SYMPTOM         what it may be, the likeliest first, and what to look at next\n"
    "frisket complain outcome ID CAUSE       what it was in the end: the next diagnosis learns from it\n"
    "Answer a check with --known OBSERVATION=yes or =no, once for each. What the daemon knows of the device by itself "
    "is\n"
    "counted already.";

constexpr const char* kHistoryFooter =
    "TIME is a date such as 2026-11-01 (--from its beginning, --to its end, both in your time zone), or a time such "
    "as\n"
    "2026-11-01T08:00:00Z. Without them: the last 90 days, by day. A time in which nobody looked is not known.";

CLI::Validator not_empty() {
  return {[](const std::string& text) { return text.empty() ? std::string("must not be empty") : std::string(); }, ""};
}

CLI::Validator a_month() {
  return {[](const std::string& text) {
            const auto day = written_moment(text + "-01", false, [](WallTime) { return std::chrono::seconds{0}; });
            return text.size() == 7 && day ? std::string() : "'" + text + "' is not a month such as 2026-10";
          },
          ""};
}

CLI::Validator a_time() {
  return {[](const std::string& text) {
            const auto at = written_moment(text, false, [](WallTime) { return std::chrono::seconds{0}; });
            return at ? std::string() : "'" + text + "' is neither a date such as 2026-11-01 nor a time of RFC 3339";
          },
          ""};
}

CLI::Validator yes_or_no() {
  return {[](const std::string& text) {
            const auto equals = text.find('=');
            const std::string answer = equals == std::string::npos ? "" : text.substr(equals + 1);
            const bool good = equals != 0 && (answer == "yes" || answer == "no");
            return good ? std::string() : "'" + text + "' is not OBSERVATION=yes or OBSERVATION=no";
          },
          ""};
}

void add_saying(CLI::App& app, Request& request) {
  app.add_option("--by", request.by, "Who says it; you, if left out")->type_name("NAME")->check(not_empty());
  app.add_option("--note", request.note, "A sentence that is kept with it")->type_name("TEXT");
}

void add_where(CLI::App& app, Request& request) {
  app.add_option("--device", request.device, "Only this device")->type_name("NAME")->check(not_empty());
  app.add_option("--site", request.site, "Only this site")->type_name("SITE")->check(not_empty());
}

void add_order(CLI::App& app, Request& request) {
  app.add_flag("--all", request.all, "Also parts of which nothing is to be ordered now, with why");
  app.add_flag("--csv", request.csv, "Comma-separated values for a spreadsheet");
  app.add_flag("--sheet", request.sheet, "The list for people, also into a pipe: to be printed");
  app.footer(kOrderFooter);
}

void add_stock(CLI::App& app, Request& request) {
  const std::vector<std::string> acts = {"set", "order", "receive", "use"};
  app.add_option("ACT", request.act, "What happened; left out: show the stock")->check(CLI::IsMember(acts));
  app.add_option("PART", request.subject, "The part number")->check(not_empty());
  app.add_option("COUNT", request.count, "How many")->check(CLI::Range(0, 1'000'000));
  app.add_option("--on-order", request.on_order, "set: how many are on the way")
      ->type_name("N")
      ->check(CLI::Range(0, 1'000'000));
  add_saying(app, request);
  app.footer(kStockFooter);
}

void add_upkeep(CLI::App& app, Request& request) {
  app.add_option("ACT", request.act, "done: a task was done; left out: show the plan")
      ->check(CLI::IsMember(std::vector<std::string>{"done"}));
  app.add_option("ID", request.subject, "done: the task's id, or the device")->check(not_empty());
  app.add_option("TASK", request.task, "done: the task, after a device")->check(not_empty());
  add_where(app, request);
  app.add_flag("--all", request.all, "Also what is due later");
  app.add_option("--at", request.at, "done: when, if not just now")->type_name("TIME")->check(a_time());
  add_saying(app, request);
  app.footer(kUpkeepFooter);
}

void add_meter(CLI::App& app, Request& request) {
  app.add_option("--month", request.month, "This month; left out: the last that is over")
      ->type_name("YYYY-MM")
      ->check(a_month());
  add_where(app, request);
  app.add_flag("--csv", request.csv, "Comma-separated values for a spreadsheet");
  app.footer(kMeterFooter);
}

void add_round(CLI::App& app, Request& request) {
  app.add_option("--site", request.site, "Only this site")->type_name("SITE")->check(not_empty());
  app.add_option("--days", request.days, "Until the next visit; left out: 7")
      ->type_name("N")
      ->check(CLI::Range(1, 365));
  app.add_option("--minutes", request.minutes, "So much time there is, walking included")
      ->type_name("N")
      ->check(CLI::Range(1, 100'000));
  app.add_flag("--sheet", request.sheet, "The round for people, also into a pipe: to be printed");
  app.footer(kRoundFooter);
}

void add_complain(CLI::App& app, Request& request) {
  app.add_option("DEVICE", request.subject, "The device's name, or `outcome`")->check(not_empty());
  app.add_option("SYMPTOM", request.symptom, "What is wrong with what it prints; after `outcome`: the complaint's id")
      ->check(not_empty());
  app.add_option("CAUSE", request.cause, "After `outcome`: what it was")->check(not_empty());
  app.add_option("--known", request.known, "What you have seen, or seen not to be so; can be given again")
      ->type_name("OBSERVATION=yes|no")
      ->allow_extra_args(false)
      ->check(yes_or_no());
  add_saying(app, request);
  app.footer(kComplainFooter);
}

void add_history(CLI::App& app, Request& request) {
  const std::vector<std::string> steps = {"raw", "hour", "day", "week"};
  app.add_option("DEVICE", request.subject, "The device's name")->required()->check(not_empty());
  app.add_option("--from", request.from, "Not before this")->type_name("TIME")->check(a_time());
  app.add_option("--to", request.to, "Not after this")->type_name("TIME")->check(a_time());
  app.add_option("--resolution", request.resolution, "How finely")
      ->type_name("raw|hour|day|week")
      ->check(CLI::IsMember(steps));
  app.footer(kHistoryFooter);
}

// --csv, --sheet and --json each say how all of it is printed.
std::string misfit_of_form(const Request& request) {
  const int forms = static_cast<int>(request.csv) + static_cast<int>(request.sheet) + static_cast<int>(request.json);
  return forms > 1 ? "--csv, --sheet and --json exclude each other" : "";
}

bool says_something(const Request& request) { return !request.by.empty() || !request.note.empty(); }

std::string settle_stock(const Request& request) {
  if (request.act.empty()) {
    const bool more = request.on_order || says_something(request);
    return more ? "--on-order, --by and --note belong to an act: frisket stock set|order|receive|use PART COUNT" : "";
  }
  if (request.subject.empty() || !request.count) return request.act + " needs a part number and how many: PART COUNT";
  if (request.act != "set" && request.on_order) return "--on-order belongs to set";
  return request.act != "set" && *request.count == 0 ? "COUNT must be at least 1 for " + request.act : "";
}

std::string settle_service(Request& request) {
  if (request.act.empty())
    return says_something(request) || !request.at.empty() ? "--at, --by and --note belong to done" : "";
  if (request.subject.empty()) return "done needs the task's id, or DEVICE TASK";
  if (!request.device.empty() || !request.site.empty() || request.all)
    return "--device, --site and --all belong to the plan";
  if (!request.task.empty()) request.subject += ':' + request.task;
  return "";
}

std::string settle_complaint(Request& request) {
  if (request.subject == "outcome" && !request.symptom.empty()) {
    if (request.cause.empty())
      return "outcome needs the complaint's id and the cause: frisket complain outcome ID CAUSE";
    request.act = "outcome";
    request.subject = std::exchange(request.symptom, "");
    return "";
  }
  if (!request.cause.empty()) return "only outcome takes three words: frisket complain outcome ID CAUSE";
  const bool more = !request.known.empty() || says_something(request);
  return request.symptom.empty() && more ? "--known, --by and --note belong to a complaint: DEVICE SYMPTOM" : "";
}

}  // namespace

void add_upkeep_options(CLI::App& app, Verb verb, Request& request) {
  switch (verb) {
    case Verb::order:
      add_order(app, request);
      break;
    case Verb::stock:
      add_stock(app, request);
      break;
    case Verb::upkeep:
      add_upkeep(app, request);
      break;
    case Verb::meter:
      add_meter(app, request);
      break;
    case Verb::reliability:
      add_where(app, request);
      app.footer(kReliabilityFooter);
      break;
    case Verb::round:
      add_round(app, request);
      break;
    case Verb::complain:
      add_complain(app, request);
      break;
    case Verb::history:
      add_history(app, request);
      break;
    default:
      break;
  }
}

std::string settle_upkeep(Request& request) {
  switch (request.verb) {
    case Verb::order:
    case Verb::meter:
    case Verb::round:
      return misfit_of_form(request);
    case Verb::stock:
      return settle_stock(request);
    case Verb::upkeep:
      return settle_service(request);
    case Verb::complain:
      return settle_complaint(request);
    default:
      return "";
  }
}

}  // namespace frisket::client
