#include "daemon/client/upkeep_verbs.h"

#include "daemon/client/listing.h"
#include "daemon/client/reliability_view.h"
#include "daemon/client/round_view.h"
#include "daemon/client/upkeep_views.h"
#include "daemon/client/upkeep_words.h"

namespace frisket::client {
namespace {

Screen screen_of(const Surroundings& around) { return {around.width, around.colour, around.now(), around.zone}; }

std::string number_of(std::int64_t number) { return number == 0 ? "" : std::to_string(number); }

Json said_by(const Request& request, const Surroundings& around) {
  Json body = {{"by", request.by.empty() ? around.user : request.by}};
  if (!request.note.empty()) body["note"] = request.note;
  return body;
}

// As the daemon takes it; empty where nothing was said.
std::string instant_of(const std::string& written, bool end_of_day, const Surroundings& around) {
  const auto instant = written_moment(written, end_of_day, around.zone);
  return instant ? model::to_rfc3339(*instant) : std::string();
}

// For whoever gets rows without a sentence in front of them.
void warn_without_forecast(std::optional<WallTime> made_at, const Request& request, Surroundings& around) {
  if (!made_at && !request.json && (!around.terminal || request.csv))
    around.err << "frisket: no forecast has been made yet since the daemon started\n" << std::flush;
}

}  // namespace

Result<Printout> order_verb(const Request& request, Surroundings& around) {
  const auto json = get_list(around.server, "/v1/order", {{"wanted", request.all ? "" : "true"}});
  if (!json) return json.error();
  const auto orders = orders_from(*json);
  if (!orders) return orders.error();
  if (request.json) return as_served(*json);
  if (request.sheet) return Printout{orders_screen(*orders, on_paper(screen_of(around)))};
  warn_without_forecast(orders->made_at, request, around);
  if (request.csv) return Printout{orders_csv(*orders)};
  return Printout{around.terminal ? orders_screen(*orders, screen_of(around)) : orders_lines(*orders)};
}

Result<Printout> stock_verb(const Request& request, Surroundings& around) {
  Foreseen<StockLine> stock;
  Json served;
  if (request.act.empty()) {
    auto json = get_list(around.server, "/v1/stock", {});
    if (!json) return json.error();
    auto listed = stock_from(*json);
    if (!listed) return listed.error();
    stock = *std::move(listed);
    served = *std::move(json);
  } else {
    Json body = {{"part", request.subject}, {"act", request.act}, {"count", request.count.value_or(0)}};
    if (request.on_order) body["on_order"] = *request.on_order;
    body.update(said_by(request, around));
    auto json = post_document(around.server, "/v1/stock", body);
    if (!json) return json.error();
    const auto line = stock_line_from(*json);
    if (!line) return line.error();
    stock.items.push_back(*line);
    served = *std::move(json);
  }
  if (request.json) return as_served(served);
  return Printout{around.terminal ? stock_screen(stock, screen_of(around)) : stock_lines(stock)};
}

namespace {

Result<Printout> service_plan(const Request& request, Surroundings& around) {
  const auto json =
      get_list(around.server, "/v1/upkeep",
               {{"device", request.device}, {"site", request.site}, {"state", request.all ? "" : "overdue,due,soon"}});
  if (!json) return json.error();
  const auto plan = service_tasks_from(*json);
  if (!plan) return plan.error();
  if (request.json) return as_served(*json);
  if (!around.terminal) {
    warn_without_forecast(plan->made_at, request, around);
    return Printout{service_lines(*plan)};
  }
  const Screen screen = screen_of(around);
  return Printout{request.device.empty() ? service_screen(*plan, screen) : service_tasks_screen(*plan, screen)};
}

Result<Printout> service_done(const Request& request, Surroundings& around) {
  const auto path = "/v1/upkeep/" + percent_encoded(request.subject) + "/done";
  Json body = said_by(request, around);
  const std::string at = instant_of(request.at, false, around);
  if (!at.empty()) body["at"] = at;
  const auto json = post_document(around.server, path, body);
  if (!json) return json.error();
  const auto task = service_task_from(*json);
  if (!task) return task.error();
  if (request.json) return as_served(*json);
  return Printout{around.terminal ? service_task_screen(*task, screen_of(around)) : service_lines({{*task}, {}})};
}

}  // namespace

Result<Printout> upkeep_verb(const Request& request, Surroundings& around) {
  return request.act == "done" ? service_done(request, around) : service_plan(request, around);
}

Result<Printout> meter_verb(const Request& request, Surroundings& around) {
  const auto json = get_list(around.server, "/v1/meter",
                             {{"month", request.month}, {"device", request.device}, {"site", request.site}});
  if (!json) return json.error();
  const auto readings = meter_from(*json);
  if (!readings) return readings.error();
  if (request.json) return as_served(*json);
  if (request.csv) return Printout{meter_csv(*readings)};
  return Printout{around.terminal ? meter_screen(*readings, screen_of(around)) : meter_lines(*readings)};
}

Result<Printout> reliability_verb(const Request& request, Surroundings& around) {
  const auto path = path_with_query("/v1/reliability", {{"device", request.device}, {"site", request.site}});
  const auto json = get_document(around.server, path);
  if (!json) return json.error();
  const auto reliability = reliability_from(*json);
  if (!reliability) return reliability.error();
  if (request.json) return as_served(*json);
  if (around.terminal) return Printout{reliability_screen(*reliability, screen_of(around))};
  warn_without_forecast(reliability->to, request, around);
  return Printout{reliability_lines(*reliability)};
}

Result<Printout> round_verb(const Request& request, Surroundings& around) {
  const auto path = path_with_query(
      "/v1/round",
      {{"site", request.site}, {"days", number_of(request.days)}, {"minutes", number_of(request.minutes)}});
  const auto json = get_document(around.server, path);
  if (!json) return json.error();
  const auto round = round_from(*json);
  if (!round) return round.error();
  if (request.json) return as_served(*json);
  if (request.sheet) return Printout{round_screen(*round, on_paper(screen_of(around)))};
  warn_without_forecast(round->made_at, request, around);
  return Printout{around.terminal ? round_screen(*round, screen_of(around)) : round_lines(*round)};
}

Result<Printout> history_verb(const Request& request, Surroundings& around) {
  const auto path = path_with_query("/v1/devices/" + percent_encoded(request.subject) + "/history",
                                    {{"from", instant_of(request.from, false, around)},
                                     {"to", instant_of(request.to, true, around)},
                                     {"resolution", request.resolution}});
  const auto json = get_document(around.server, path);
  if (!json) return json.error();
  const auto history = history_from(*json);
  if (!history) return history.error();
  if (request.json) return as_served(*json);
  return Printout{around.terminal ? history_screen(*history, screen_of(around)) : history_lines(*history)};
}

}  // namespace frisket::client
