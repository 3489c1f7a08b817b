#include "daemon/client/complaint_answers.h"

#include <algorithm>

namespace frisket::client {
namespace {

Complaint complaint(const Fields& fields) {
  for (const char* needed : {"id", "device", "symptom"}) fields.require(needed);
  Complaint out;
  out.id = fields.text("id");
  out.device = fields.text("device");
  out.symptom = fields.text("symptom");
  out.at = fields.moment("at");
  out.by = fields.text("by");
  out.note = fields.text("note");
  out.known = fields.flags("known");
  out.cause = fields.text("cause");
  out.closed_at = fields.moment("closed_at");
  return out;
}

LikelyCause likely_cause(const Fields& fields) {
  for (const char* needed : {"cause", "probability"}) fields.require(needed);
  LikelyCause out;
  out.cause = fields.text("cause");
  out.title = fields.text("title");
  out.probability = std::clamp(fields.number("probability").value_or(0), 0.0, 1.0);
  out.prior = fields.number("prior");
  for (const Fields& each : fields.objects("evidence"))
    out.evidence.push_back({each.text("observation"), each.text("question"), each.flag("so").value_or(false),
                            each.number("weight").value_or(0)});
  out.remedy = remedy_in(fields);
  return out;
}

}  // namespace

Result<std::vector<Symptom>> symptoms_from(const Json& list) {
  return items_of<Symptom>(list, [](const Fields& fields) {
    fields.require("symptom");
    return Symptom{fields.text("symptom"), fields.text("title")};
  });
}

Result<std::vector<Complaint>> complaints_from(const Json& list) { return items_of<Complaint>(list, complaint); }

Result<Complaint> complaint_from(const Json& answer) { return object_of<Complaint>(answer, complaint); }

Result<Diagnosis> diagnosis_from(const Json& diagnosis) {
  Shape shape;
  const Fields fields(diagnosis, "", shape);
  for (const char* needed : {"id", "device", "causes"}) fields.require(needed);
  Diagnosis out;
  out.id = fields.text("id");
  out.device = fields.text("device");
  out.symptom = fields.text("symptom");
  out.title = fields.text("title");
  out.at = fields.moment("at");
  out.known = fields.flags("known");
  for (const Fields& each : fields.objects("causes")) out.causes.push_back(likely_cause(each));
  for (const Fields& each : fields.objects("checks"))
    out.checks.push_back(
        {each.text("observation"), each.text("question"), each.number("minutes"), each.number("bits")});
  return checked(std::move(out), shape);
}

}  // namespace frisket::client
