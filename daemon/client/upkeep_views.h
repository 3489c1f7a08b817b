// What the verbs about orders, stock, service, meters and the past print. As views.h. Pure; any thread.
#pragma once

#include <string>

#include "daemon/client/upkeep_answers.h"
#include "daemon/client/views.h"

namespace frisket::client {

// What is to be ordered as blocks, in the order as served; what is not as a table below.
std::string orders_screen(const Foreseen<OrderLine>& orders, const Screen& screen);
std::string orders_lines(const Foreseen<OrderLine>& orders);
std::string orders_csv(const Foreseen<OrderLine>& orders);

std::string stock_screen(const Foreseen<StockLine>& stock, const Screen& screen);
std::string stock_lines(const Foreseen<StockLine>& stock);

// Overdue first, then due, soon, later; in a state the least time left first.
std::string service_screen(Foreseen<ServiceTask> plan, const Screen& screen);
// The same as blocks, each task with its cautions and steps: for one device.
std::string service_tasks_screen(Foreseen<ServiceTask> plan, const Screen& screen);
std::string service_lines(Foreseen<ServiceTask> plan);

// One task with its cautions and steps.
std::string service_task_screen(const ServiceTask& task, const Screen& screen);

std::string meter_screen(const Foreseen<MeterReading>& readings, const Screen& screen);
std::string meter_lines(const Foreseen<MeterReading>& readings);
std::string meter_csv(const Foreseen<MeterReading>& readings);

std::string history_screen(const History& history, const Screen& screen);
std::string history_lines(const History& history);

}  // namespace frisket::client
