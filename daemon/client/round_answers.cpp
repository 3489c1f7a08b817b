#include "daemon/client/round_answers.h"

namespace frisket::client {
namespace {

RoundJob round_job(const Fields& fields) {
  fields.require("what");
  RoundJob out;
  out.key = fields.text("key");
  out.what = fields.text("what");
  out.why = fields.text("why");
  out.incident = fields.text("incident");
  out.severity = fields.text("severity");
  out.task = fields.text("task");
  out.supply = fields.whole("supply");
  out.minutes = fields.number("minutes");
  out.value = fields.number("value");
  out.remedy = remedy_in(fields);
  out.carry = carried_in(fields, "carry");
  return out;
}

RoundStop round_stop(const Fields& fields) {
  fields.require("device");
  RoundStop out;
  out.device = fields.text("device");
  out.building = fields.text("building");
  out.floor = fields.whole("floor");
  out.place = fields.text("place");
  out.location = fields.text("location");
  out.minutes = fields.number("minutes");
  for (const Fields& each : fields.objects("jobs")) out.jobs.push_back(round_job(each));
  return out;
}

}  // namespace

Result<Round> round_from(const Json& round) {
  Shape shape;
  const Fields fields(round, "", shape);
  for (const char* needed : {"stops", "carry"}) fields.require(needed);
  Round out;
  out.site = fields.text("site");
  out.days = fields.whole("days");
  out.minutes = fields.number("minutes");
  out.walking_minutes = fields.number("walking_minutes");
  out.budget = fields.number("budget");
  out.made_at = fields.moment("made_at");
  for (const Fields& each : fields.objects("stops")) out.stops.push_back(round_stop(each));
  const auto carried = carried_in(fields, "carry");
  const auto entries = fields.objects("carry");
  for (std::size_t i = 0; i < carried.size(); ++i) out.carry.push_back({carried[i], entries[i].whole("on_hand")});
  for (const Fields& each : fields.objects("left_out"))
    out.left_out.push_back({each.text("device"), each.text("what"), each.text("why")});
  return checked(std::move(out), shape);
}

}  // namespace frisket::client
