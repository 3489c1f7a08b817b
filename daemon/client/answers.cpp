#include "daemon/client/answers.h"

#include "daemon/client/display.h"

namespace frisket::client {
namespace {

Condition condition(const Fields& fields) {
  Condition out;
  out.keyword = fields.text("keyword");
  out.severity = fields.severity("severity");
  out.training = fields.text("training");
  out.subunit = fields.text("subunit");
  out.place = fields.text("place");
  out.since = fields.moment("since");
  for (const Fields& witness : fields.objects("witnesses"))
    out.witnesses.push_back({witness.text("source"), witness.text("says")});
  return out;
}

Supply supply(const Fields& fields) {
  Supply out;
  out.index = fields.whole("index");
  out.type = fields.text("type");
  out.supply_class = fields.text("class");
  out.colorant = fields.text("colorant");
  out.description = fields.text("description");
  out.part = fields.text("part");
  out.percent = fields.number("percent");
  out.low = fields.flag("low");
  out.level = fields.text("level");
  if (fields.has("days_left")) {
    const Fields days = fields.object("days_left");
    out.days_left = DaysLeft{days.number("p10"), days.number("p50"), days.number("p90")};
  }
  out.days_left_why = fields.text("days_left_why");
  return out;
}

std::vector<Tray> trays(const Fields& fields, const char* key) {
  std::vector<Tray> out;
  for (const Fields& each : fields.objects(key)) {
    Tray tray;
    tray.index = each.whole("index");
    tray.name = each.text("name");
    tray.media = each.text("media");
    tray.percent = each.number("percent");
    tray.level = each.text("level");
    tray.empty = each.flag("empty");
    tray.full = each.flag("full");
    tray.remaining = each.whole("remaining");
    tray.capacity = each.whole("capacity");
    tray.unit = each.text("unit");
    tray.status = each.text("status");
    out.push_back(tray);
  }
  return out;
}

Device device(const Fields& fields) {
  fields.require("name");
  Device out;
  out.name = fields.text("name");
  out.address = fields.text("address");
  out.site = fields.text("site");
  out.location = fields.text("location");
  out.state = fields.text("state");
  out.detail = fields.text("detail");
  out.maker = fields.text("maker");
  out.model = fields.text("model");
  out.serial = fields.text("serial");
  out.impressions = fields.whole("impressions");
  out.last_reading_at = fields.moment("last_reading_at");
  for (const Fields& each : fields.objects("supplies")) out.supplies.push_back(supply(each));
  out.inputs = trays(fields, "inputs");
  out.outputs = trays(fields, "outputs");
  for (const Fields& each : fields.objects("covers"))
    out.covers.push_back({each.whole("index"), each.text("name"), each.flag("open")});
  out.console = fields.texts("console");
  for (const Fields& each : fields.objects("lights"))
    out.lights.push_back({each.text("name"), each.text("color"), each.text("shows")});
  out.conditions = conditions_in(fields, "conditions");
  return out;
}

Incident incident(const Fields& fields) {
  fields.require("id");
  fields.require("severity");
  Incident out;
  out.id = fields.text("id");
  out.kind = fields.text("kind");
  out.device = fields.text("device");
  out.queue = fields.text("queue");
  out.site = fields.text("site");
  out.location = fields.text("location");
  out.subunit = fields.text("subunit");
  out.place = fields.text("place");
  out.severity = fields.severity("severity").value_or(Severity::warning);
  out.state = fields.text("state");
  out.operator_state = fields.text("operator");
  out.training = fields.text("training");
  out.raised_at = fields.moment("raised_at");
  out.changed_at = fields.moment("changed_at");
  out.cleared_at = fields.moment("cleared_at");
  out.summary = fields.text("summary");
  out.evidence = conditions_in(fields, "evidence");
  const Fields remedy = fields.object("remedy");
  out.cautions = remedy.texts("cautions");
  out.steps = remedy.texts("steps");
  out.carry = carried_in(remedy, "carry");
  out.times_raised = fields.whole("times_raised");
  out.planned = fields.flag("planned");
  out.shelved_until = fields.moment("shelved_until");
  out.outcome = fields.text("outcome");
  out.proof = fields.text("proof");
  for (const Fields& each : fields.objects("actions"))
    out.actions.push_back({each.moment("at"), each.text("operator"), each.text("by"), each.text("note")});
  return out;
}

DeviceCounts device_counts(const Fields& devices) {
  DeviceCounts out;
  out.total = devices.whole("total").value_or(0);
  for (std::size_t i = 0; i < std::size(kDeviceStates); ++i)
    out.by_state[i] = devices.whole(kDeviceStates[i]).value_or(0);
  return out;
}

SpanLoad span_load(const Fields& fields) {
  return {fields.whole("raised"), fields.number("per_hour"), fields.number("per_ten_minutes"),
          fields.text("rate"),    fields.whole("peak"),      fields.text("peak_verdict")};
}

Load place_load(const Fields& fields) {
  Load out;
  out.hour = span_load(fields.object("hour"));
  out.day = span_load(fields.object("day"));
  out.week = span_load(fields.object("week"));
  out.in_flood = fields.flag("in_flood");
  return out;
}

}  // namespace

std::vector<CarriedPart> carried_in(const Fields& fields, const char* key) {
  std::vector<CarriedPart> out;
  for (const Fields& each : fields.objects(key))
    out.push_back({each.text("part"), each.text("maker"), each.text("colorant"), each.whole("count").value_or(1)});
  return out;
}

std::vector<Condition> conditions_in(const Fields& fields, const char* key) {
  std::vector<Condition> out;
  for (const Fields& each : fields.objects(key)) out.push_back(condition(each));
  return out;
}

Result<DeviceCounts> device_counts_from(const Json& fleet, const std::string& site) {
  Shape shape;
  const Fields fields(fleet, "", shape);
  fields.require("devices");
  if (site.empty()) return checked(device_counts(fields.object("devices")), shape);
  std::optional<DeviceCounts> out;
  for (const Fields& each : fields.objects("sites"))
    if (each.text("name") == inert(site)) out = device_counts(each.object("devices"));
  if (shape.error()) return *shape.error();
  if (out) return *out;
  return model::Error{.kind = model::Error::Kind::invalid,
                      .doing = "looking for the site",
                      .whom = "",
                      .what = "no site is called '" + inert(site) + "'"};
}

Result<Load> load_from(const Json& fleet, const std::string& site) {
  Shape shape;
  const Fields fields(fleet, "", shape);
  fields.require("load");
  const Fields load = fields.object("load");
  Load out;
  if (site.empty()) {
    out = place_load(load);
    out.chattering = load.whole("chattering");
    out.stale = load.whole("stale");
    for (const Fields& each : load.objects("noisiest"))
      out.noisiest.push_back({each.text("device"), each.text("kind"), each.whole("raised")});
    out.noisiest_share = load.number("noisiest_share");
  } else {
    for (const Fields& each : load.objects("sites"))
      if (each.text("name") == inert(site)) out = place_load(each);
    out.site = inert(site);
  }
  return checked(std::move(out), shape);
}

Result<std::vector<Device>> devices_from(const Json& list) { return items_of<Device>(list, device); }

Result<std::vector<FleetSupply>> supplies_from(const Json& list) {
  return items_of<FleetSupply>(list, [](const Fields& fields) {
    fields.require("device");
    return FleetSupply{fields.text("device"), fields.text("site"), fields.text("location"), supply(fields)};
  });
}

Result<std::vector<Incident>> incidents_from(const Json& list) { return items_of<Incident>(list, incident); }

Result<Device> device_from(const Json& answer) { return object_of<Device>(answer, device); }

Result<Incident> incident_from(const Json& answer) { return object_of<Incident>(answer, incident); }

Result<HookTest> hook_test_from(const Json& test) {
  Shape shape;
  const Fields fields(test, "", shape);
  fields.require("told");
  return checked(HookTest{fields.text("hook"), fields.flag("told").value_or(false), fields.text("receiver")}, shape);
}

Result<std::optional<Notice>> notice_from(const Json& event) {
  Shape shape;
  const Fields fields(event, "", shape);
  std::optional<Notice> out;
  if (fields.has("notice") && fields.has("incident"))
    out = Notice{fields.text("notice"), fields.moment("at"), incident(fields.object("incident"))};
  return checked(std::move(out), shape);
}

}  // namespace frisket::client
