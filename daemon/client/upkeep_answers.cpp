#include "daemon/client/upkeep_answers.h"

namespace frisket::client {
namespace {

template <class T, class Decode>
Result<Foreseen<T>> foreseen_of(const Json& list, Decode decode) {
  auto items = items_of<T>(list, decode);
  if (!items) return items.error();
  Shape shape;
  const Fields fields(list, "", shape);
  return checked(Foreseen<T>{*std::move(items), fields.moment("made_at")}, shape);
}

OrderLine order_line(const Fields& fields) {
  fields.require("part");
  fields.require("count");
  OrderLine out;
  out.part = fields.text("part");
  out.maker = fields.text("maker");
  out.description = fields.text("description");
  out.colorant = fields.text("colorant");
  out.supplier = fields.text("supplier");
  out.count = fields.whole("count").value_or(0);
  out.pack_size = fields.whole("pack_size");
  out.packs = fields.whole("packs");
  out.on_hand = fields.whole("on_hand");
  out.on_order = fields.whole("on_order");
  out.reorder_point = fields.whole("reorder_point");
  out.order_by = fields.moment("order_by");
  out.runs_out_first = fields.moment("runs_out_first");
  out.for_devices = fields.texts("for_devices");
  out.undated = fields.texts("undated");
  const Fields demand = fields.object("demand");
  out.demand_days = demand.number("days");
  out.demand_mean = demand.number("mean");
  out.why = fields.text("why");
  return out;
}

StockLine stock_line(const Fields& fields) {
  fields.require("part");
  fields.require("on_hand");
  return {fields.text("part"), fields.whole("on_hand"), fields.whole("on_order")};
}

ServiceTask service_task(const Fields& fields) {
  for (const char* needed : {"id", "device", "state"}) fields.require(needed);
  ServiceTask out;
  out.id = fields.text("id");
  out.device = fields.text("device");
  out.site = fields.text("site");
  out.location = fields.text("location");
  out.task = fields.text("task");
  out.title = fields.text("title");
  out.state = fields.text("state");
  out.share = fields.number("share");
  out.due_at = fields.moment("due_at");
  if (fields.has("last_done")) {
    const Fields done = fields.object("last_done");
    out.last_done = Saying{done.moment("at"), "", done.text("by"), done.text("note")};
    out.last_count = done.number("count");
  }
  out.minutes = fields.number("minutes");
  out.why = fields.text("why");
  out.remedy = remedy_in(fields.object("remedy"));
  return out;
}

MeterReading meter_reading(const Fields& fields) {
  fields.require("device");
  fields.require("month");
  MeterReading out;
  out.device = fields.text("device");
  out.site = fields.text("site");
  out.serial = fields.text("serial");
  out.maker = fields.text("maker");
  out.model = fields.text("model");
  out.month = fields.text("month");
  out.impressions = fields.number("impressions");
  out.flags = fields.texts("flags");
  out.colour = fields.number("colour");
  out.monochrome = fields.number("monochrome");
  out.colour_flags = fields.texts("colour_flags");
  return out;
}

PastIncident past_incident(const Fields& fields) {
  return {fields.text("id"), fields.text("kind"), fields.severity("severity"), fields.moment("raised_at"),
          fields.moment("cleared_at")};
}

}  // namespace

Remedy remedy_in(const Fields& fields) { return {fields.texts("cautions"), fields.texts("steps")}; }

Result<Foreseen<OrderLine>> orders_from(const Json& list) { return foreseen_of<OrderLine>(list, order_line); }

Result<Foreseen<ServiceTask>> service_tasks_from(const Json& list) {
  return foreseen_of<ServiceTask>(list, service_task);
}

Result<Foreseen<StockLine>> stock_from(const Json& list) { return foreseen_of<StockLine>(list, stock_line); }

Result<Foreseen<MeterReading>> meter_from(const Json& list) { return foreseen_of<MeterReading>(list, meter_reading); }

Result<StockLine> stock_line_from(const Json& line) { return object_of<StockLine>(line, stock_line); }

Result<ServiceTask> service_task_from(const Json& task) { return object_of<ServiceTask>(task, service_task); }

Result<History> history_from(const Json& history) {
  Shape shape;
  const Fields fields(history, "", shape);
  fields.require("device");
  fields.require("series");
  History out;
  out.device = fields.text("device");
  out.from = fields.moment("from");
  out.to = fields.moment("to");
  out.resolution = fields.text("resolution");
  for (const Fields& each : fields.objects("series"))
    out.series.push_back({each.text("name"), each.text("unit"), each.text("description"), each.points("points")});
  for (const Fields& each : fields.objects("unobserved"))
    out.unobserved.push_back({each.moment("from"), each.moment("to")});
  for (const Fields& each : fields.objects("incidents")) out.incidents.push_back(past_incident(each));
  return checked(std::move(out), shape);
}

}  // namespace frisket::client
