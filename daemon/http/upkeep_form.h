// The public JSON forms of upkeep (docs/api.md): supplies' dates, order, stock, service, meter, round, history,
// complaints, reliability. As daemon/json/forms.h. Pure; any thread.
#pragma once

#include <string>

#include "daemon/json/forms.h"
#include "daemon/upkeep/books.h"
#include "daemon/upkeep/fleet_reliability.h"
#include "daemon/upkeep/outlook.h"
#include "daemon/upkeep/round.h"
#include "daemon/upkeep/series.h"

namespace frisket::http {

// {"p10", "p50", "p90"} in days from now, null beyond the horizon; null as a whole where there is no date.
json::Json days_left_form(const upkeep::DepletionForecast& forecast, model::WallTime now);

// Adds days_left, days_left_why and runs_out to a supply's form (supply_form()). A null forecast: none is made yet.
void add_dates(json::Json& supply, const upkeep::DepletionForecast* forecast, model::WallTime now);

json::Json order_line_form(const upkeep::OrderLine& line);
json::Json stock_form(const std::string& part, const upkeep::Stock& stock);

// One task of one device. `device` as configured.
json::Json service_form(const config::Device& device, const upkeep::TaskStatus& status,
                        const upkeep::ServiceTask& task);

// One month of one device. `device` as configured; `colour` null: it does not tell its impressions in colour.
json::Json month_form(const config::Device& device, const model::Identity& identity, const upkeep::MonthReading& month,
                      const upkeep::MonthReading* colour);

// `location_of` gives a device's location as configured; `stock` may lack parts.
json::Json round_form(const upkeep::RoundPlan& plan, const std::function<std::string(const std::string&)>& location_of,
                      const std::map<std::string, upkeep::Stock>& stock);

json::Json lines_form(const upkeep::PastLines& lines);

json::Json complaint_form(const upkeep::Complaint& complaint);
// With causes and checks; of the causes those that are likelier than 1 %.
json::Json diagnosis_form(const upkeep::Complaint& complaint, const upkeep::Diagnosis& diagnosis,
                          const upkeep::ComplaintTable& table);

json::Json reliability_form(const upkeep::DeviceReliability& device);
json::Json model_form(const upkeep::ModelReliability& model);
json::Json kind_form(const upkeep::KindReliability& kind);

}  // namespace frisket::http
