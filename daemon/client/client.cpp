#include "daemon/client/client.h"

#include <algorithm>

#include "daemon/client/answers.h"
#include "daemon/client/complain_verb.h"
#include "daemon/client/display.h"
#include "daemon/client/listing.h"
#include "daemon/client/printout.h"
#include "daemon/client/queue_verb.h"
#include "daemon/client/queue_views.h"
#include "daemon/client/test_print_verb.h"
#include "daemon/client/upkeep_verbs.h"
#include "daemon/client/views.h"
#include "daemon/client/watch.h"

namespace frisket::client {
namespace {

using Query = std::vector<std::pair<std::string, std::string>>;

class Desk {
 public:
  Desk(const Request& request, Surroundings& around) : request_(request), around_(around) {}

  Result<Printout> answer() {
    switch (request_.verb) {
      case Verb::status:
        return status();
      case Verb::devices:
        return list<Device>("/v1/devices", {{"site", request_.site}, {"state", request_.state}}, devices_from,
                            devices_screen, devices_lines);
      case Verb::device:
        return device();
      case Verb::supplies:
        return list<FleetSupply>("/v1/supplies", {{"site", request_.site}, {"low", request_.low ? "true" : ""}},
                                 supplies_from, supplies_screen, supplies_lines);
      case Verb::queues:
        return list<Queue>("/v1/queues", queues_query(), queues_from, queues_screen, queues_lines);
      case Verb::queue:
        return queue_verb(request_, around_);
      case Verb::incidents:
        return list<Incident>("/v1/incidents", incident_query(), incidents_from, incidents_screen, incidents_lines);
      case Verb::incident:
        return incident();
      case Verb::ack:
        return say("ack");
      case Verb::shelve:
        return say("shelve");
      case Verb::close:
        return say("close");
      case Verb::take_back:
        return say("take-back");
      case Verb::testprint:
        return test_print_verb(request_, around_);
      case Verb::order:
        return order_verb(request_, around_);
      case Verb::stock:
        return stock_verb(request_, around_);
      case Verb::round:
        return round_verb(request_, around_);
      case Verb::upkeep:
        return upkeep_verb(request_, around_);
      case Verb::complain:
        return complain_verb(request_, around_);
      case Verb::meter:
        return meter_verb(request_, around_);
      case Verb::reliability:
        return reliability_verb(request_, around_);
      case Verb::history:
        return history_verb(request_, around_);
      case Verb::hook_test:
        return hook_test();
      case Verb::watch:
        break;
    }
    return model::Error{.kind = model::Error::Kind::invalid, .doing = "answering", .whom = "", .what = "no such verb"};
  }

 private:
  Screen screen() const { return {around_.width, around_.colour, around_.now(), around_.zone}; }

  // A list verb: the whole list, decoded even where only JSON is wanted, so that nonsense
  // ends with the same status in every format.
  template <class T, class View, class Lines>
  Result<Printout> list(const std::string& path, Query query, Result<std::vector<T>> (*decode)(const Json&),
                        View for_people, Lines for_programs) {
    const auto json = get_list(around_.server, path, std::move(query));
    if (!json) return json.error();
    const auto items = decode(*json);
    if (!items) return items.error();
    if (request_.json) return as_served(*json);
    return Printout{around_.terminal ? for_people(*items, screen()) : for_programs(*items)};
  }

  // What nobody has dealt with yet: raised, and neither shelved nor closed by an operator.
  static Query open_query() { return {{"state", "raised"}, {"operator", "none,ack"}}; }

  Query queues_query() const {
    return {
        {"site", request_.site}, {"state", request_.state}, {"device", request_.device}, {"spooler", request_.spooler}};
  }

  Query incident_query() const {
    Query query = request_.all ? Query{} : open_query();
    std::string severities;
    for (const Severity each : {Severity::critical, Severity::major, Severity::minor, Severity::warning})
      if (request_.severity && each >= *request_.severity)
        severities += (severities.empty() ? "" : ",") + std::string(model::to_text(each));
    query.emplace_back("severity", severities);
    query.emplace_back("site", request_.site);
    query.emplace_back("kind", request_.kind);
    query.emplace_back("device", request_.device);
    query.emplace_back("queue", request_.queue);
    return query;
  }

  Result<std::vector<Incident>> open_incidents(const std::string& site, const std::string& device) {
    Query query = open_query();
    query.emplace_back("site", site);
    query.emplace_back("device", device);
    const auto json = get_list(around_.server, "/v1/incidents", std::move(query));
    if (!json) return json.error();
    return incidents_from(*json);
  }

  Result<Printout> status() {
    const auto fleet = get_document(around_.server, "/v1/fleet");
    if (!fleet) return fleet.error();
    const auto counts = device_counts_from(*fleet, request_.site);
    if (!counts) return counts.error();
    auto open = open_incidents(request_.site, "");
    if (!open) return open.error();
    const bool fails = std::ranges::any_of(
        *open, [&](const Incident& each) { return request_.fail_on && each.severity >= *request_.fail_on; });
    Printout out;
    if (request_.json) {
      out = as_served(*fleet);
    } else if (request_.load) {
      const auto load = load_from(*fleet, request_.site);
      if (!load) return load.error();
      out.text = around_.terminal ? load_screen(*load, screen()) : load_lines(*load);
    } else {
      out.text = around_.terminal ? status_screen(*counts, *open, screen()) : status_lines(*counts, *open);
    }
    if (fails) out.status = ExitStatus::open;
    return out;
  }

  Result<Printout> device() {
    const auto json = get_document(around_.server, "/v1/devices/" + percent_encoded(request_.subject));
    if (!json) return json.error();
    const auto device = device_from(*json);
    if (!device) return device.error();
    if (request_.json) return as_served(*json);
    const auto open = open_incidents("", device->name);
    if (!open) return open.error();
    return Printout{around_.terminal ? device_screen(*device, *open, screen()) : device_lines(*device, *open)};
  }

  Result<Printout> incident() {
    const auto json = get_document(around_.server, "/v1/incidents/" + percent_encoded(request_.subject));
    if (!json) return json.error();
    return incident_of(*json);
  }

  Result<Printout> incident_of(const Json& json) const {
    const auto incident = incident_from(json);
    if (!incident) return incident.error();
    if (request_.json) return as_served(json);
    return Printout{around_.terminal ? incident_screen(*incident, screen()) : incident_lines(*incident)};
  }

  // Says something of an incident, and shows it as it is then.
  Result<Printout> say(const std::string& what) {
    Json body = {{"by", request_.by.empty() ? around_.user : request_.by}};
    if (!request_.note.empty()) body["note"] = request_.note;
    if (!request_.until.empty()) body["until"] = request_.until;
    if (!request_.duration.empty()) body["for"] = request_.duration;
    const auto path = "/v1/incidents/" + percent_encoded(request_.subject) + '/' + what;
    const auto json = post_document(around_.server, path, body);
    if (!json) return json.error();
    return incident_of(*json);
  }

  Result<Printout> hook_test() {
    const auto path = "/v1/hooks/" + percent_encoded(request_.subject) + "/test";
    const auto json = post_document(around_.server, path, Json::object());
    if (!json) return json.error();
    const auto test = hook_test_from(*json);
    if (!test) return test.error();
    auto out = request_.json ? as_served(*json)
                             : Printout{test->hook + (test->told ? " told: " : " not told: ") + test->receiver + '\n'};
    if (!test->told) out.status = ExitStatus::unreachable;
    return out;
  }

  const Request& request_;
  Surroundings& around_;
};

}  // namespace

ExitStatus run(const Request& request, Surroundings& around) {
  if (request.verb == Verb::watch) return watch(request, around);
  Desk desk(request, around);
  const auto printout = desk.answer();
  if (!printout) {
    around.err << "frisket: " << printout.error().text() << '\n';
    return exit_status_of(printout.error());
  }
  around.out << printout->text << std::flush;
  if (around.out) return printout->status;
  around.err << "frisket: standard output cannot be written\n";
  return ExitStatus::usage;
}

}  // namespace frisket::client
