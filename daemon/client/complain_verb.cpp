#include "daemon/client/complain_verb.h"

#include "daemon/client/complaint_views.h"
#include "daemon/client/listing.h"

namespace frisket::client {
namespace {

Screen screen_of(const Surroundings& around) { return {around.width, around.colour, around.now(), around.zone}; }

// A list or an object, decoded also where only JSON is wanted.
template <class T, class View, class Lines>
Result<Printout> printed(const Request& request, const Surroundings& around, const Result<Json>& json,
                         Result<T> (*decode)(const Json&), View for_people, Lines for_programs) {
  if (!json) return json.error();
  const auto answer = decode(*json);
  if (!answer) return answer.error();
  if (request.json) return as_served(*json);
  return Printout{around.terminal ? for_people(*answer, screen_of(around)) : for_programs(*answer)};
}

// The arguments have checked that each is OBSERVATION=yes or OBSERVATION=no.
Json body_of(const Request& request, const Surroundings& around) {
  Json known = Json::object();
  for (const std::string& each : request.known) {
    const auto equals = each.find('=');
    known[each.substr(0, equals)] = each.substr(equals + 1) == "yes";
  }
  Json body = {{"known", known}, {"by", request.by.empty() ? around.user : request.by}};
  if (!request.note.empty()) body["note"] = request.note;
  return body;
}

Result<Printout> outcome(const Request& request, Surroundings& around) {
  Json body = body_of(request, around);
  body["cause"] = request.cause;
  const auto path = "/v1/complaints/" + percent_encoded(request.subject) + "/outcome";
  return printed(
      request, around, post_document(around.server, path, body), complaint_from,
      [](const Complaint& complaint, const Screen& screen) { return complaints_screen({complaint}, screen); },
      [](const Complaint& complaint) { return complaints_lines({complaint}); });
}

Result<Printout> complaint(const Request& request, Surroundings& around) {
  Json body = body_of(request, around);
  body["symptom"] = request.symptom;
  const auto path = "/v1/devices/" + percent_encoded(request.subject) + "/complaints";
  return printed(request, around, post_document(around.server, path, body), diagnosis_from, diagnosis_screen,
                 diagnosis_lines);
}

}  // namespace

Result<Printout> complain_verb(const Request& request, Surroundings& around) {
  if (request.act == "outcome") return outcome(request, around);
  if (!request.symptom.empty()) return complaint(request, around);
  if (!request.subject.empty())
    return printed(request, around, get_list(around.server, "/v1/complaints", {{"device", request.subject}}),
                   complaints_from, complaints_screen, complaints_lines);
  return printed(request, around, get_list(around.server, "/v1/symptoms", {}), symptoms_from, symptoms_screen,
                 symptoms_lines);
}

}  // namespace frisket::client
