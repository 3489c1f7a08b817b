#include "daemon/client/reliability_answers.h"

namespace frisket::client {
namespace {

Jams jams_in(const Fields& fields) {
  const Fields rate = fields.object("rate");
  return {fields.whole("jams"),
          fields.whole("sheets"),
          rate.number("value"),
          rate.number("low"),
          rate.number("high"),
          fields.flag("worse").value_or(false),
          fields.flag("better").value_or(false)};
}

DeviceReliability device_in(const Fields& fields) {
  for (const char* needed : {"device", "jams"}) fields.require(needed);
  DeviceReliability out;
  out.device = fields.text("device");
  out.site = fields.text("site");
  out.maker = fields.text("maker");
  out.model = fields.text("model");
  out.jams = jams_in(fields);
  for (const Fields& each : fields.objects("places")) out.places.push_back({each.text("place"), each.whole("jams")});
  out.availability = fields.number("availability");
  out.observed_hours = fields.number("observed_hours");
  out.down_hours = fields.number("down_hours");
  return out;
}

ModelReliability model_in(const Fields& fields) {
  return {fields.text("maker"), fields.text("model"), fields.whole("devices"), jams_in(fields)};
}

KindReliability kind_in(const Fields& fields) {
  return {fields.text("kind"),
          fields.whole("incidents"),
          fields.whole("open"),
          fields.number("mean_between_hours"),
          fields.number("mean_repair_hours"),
          fields.number("median_repair_hours")};
}

}  // namespace

Result<Reliability> reliability_from(const Json& answer) {
  return object_of<Reliability>(answer, [](const Fields& fields) {
    fields.require("items");
    Reliability out;
    out.from = fields.moment("from");
    out.to = fields.moment("to");
    for (const Fields& each : fields.objects("items")) out.devices.push_back(device_in(each));
    for (const Fields& each : fields.objects("models")) out.models.push_back(model_in(each));
    for (const Fields& each : fields.objects("kinds")) out.kinds.push_back(kind_in(each));
    return out;
  });
}

}  // namespace frisket::client
