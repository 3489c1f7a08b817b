#include "probes/snmp/device_probe.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "probes/snmp/printer_mib.h"
#include "probes/snmp/watch.h"
#include "scripted_agent.h"
#include "talking.h"

namespace frisket::snmp {
namespace {

using namespace testing;
using model::Reach;

// Of the printer at index 1.
Oid cell(const mib::Object& column, std::uint32_t row) { return Oid(column.oid()).append(1).append(row); }

// What the names of all cells of the column's table begin with.
Oid entry_of(const mib::Object& column) { return Oid(column.oid().first(column.oid().size() - 1)); }

// A printer in the herbarium: one open cover, two trays, one toner, one jam.
void make_printer(ScriptedAgent& agent, std::uint32_t host, std::uint32_t printer) {
  const auto set = [&](const mib::Object& column, std::uint32_t row, Value value) {
    agent.set(Oid(column.oid()).append(printer).append(row), std::move(value));
  };
  for (const auto& scalar : mib::scalars) {
    const auto instance = scalar.instance == mib::Instance::zero         ? 0
                          : scalar.instance == mib::Instance::host_index ? host
                                                                         : printer;
    const bool is_counter = scalar.object.name.ends_with("Events") || scalar.object.name.ends_with("Changes");
    const bool is_number = scalar.object.name.ends_with("Status") || scalar.object.name.ends_with("Localization");
    if (is_counter) agent.set(Oid(scalar.object.oid()).append(instance), Counter32{1});
    if (is_number) agent.set(Oid(scalar.object.oid()).append(instance), Integer{1});
  }
  agent.set(Oid(mib::object_of(mib::scalar::sys_descr).oid()).append(0), Octets{"Quillfern 40"});
  agent.set(Oid(mib::object_of(mib::scalar::hr_device_descr).oid()).append(host), Octets{"Quillfern 40"});
  agent.set(Oid(mib::object_of(mib::scalar::hr_printer_detected_error_state).oid()).append(host), Octets{"\x08"});
  agent.set(Oid(mib::object_of(mib::scalar::prt_general_serial_number).oid()).append(printer), Octets{"QF-0001"});
  set(mib::localization::columns[mib::localization::character_set], 1, Integer{4});
  set(mib::cover::columns[mib::cover::description], 1, Octets{"T\xfcr"});
  set(mib::cover::columns[mib::cover::status], 1, Integer{3});
  for (std::uint32_t tray = 1; tray <= 2; ++tray) {
    set(mib::input::columns[mib::input::max_capacity], tray, Integer{500});
    set(mib::input::columns[mib::input::current_level], tray, Integer{tray == 1 ? 250 : 0});
  }
  set(mib::marker::columns[mib::marker::counter_unit], 1, Integer{7});
  set(mib::marker::columns[mib::marker::life_count], 1, Counter32{120345});
  set(mib::colorant::columns[mib::colorant::value], 1, Octets{"black"});
  set(mib::supply::columns[mib::supply::colorant_index], 1, Integer{1});
  set(mib::supply::columns[mib::supply::max_capacity], 1, Integer{10000});
  set(mib::supply::columns[mib::supply::level], 1, Integer{400});
  agent.set(Oid(mib::object_of(mib::scalar::sys_up_time).oid()).append(0), TimeTicks{1000});
  set(mib::console_line::columns[mib::console_line::text], 1, Octets{"Paper"});
  set(mib::alert::columns[mib::alert::severity], 5, Integer{3});
  set(mib::alert::columns[mib::alert::group], 5, Integer{8});
  set(mib::alert::columns[mib::alert::group_index], 5, Integer{2});
  set(mib::alert::columns[mib::alert::code], 5, Integer{8});
}

// No IP literal, so it goes through the resolver; yet it needs no name service and has one address only
// (inet_aton's short form), which "localhost" has not everywhere.
constexpr const char* kName = "127.1";

struct Herbarium : Talking {
  ScriptedAgent agent{context};
  std::unique_ptr<DeviceProbe> probe;

  explicit Herbarium(std::string address = "127.0.0.1",
                     std::vector<config::Credential> credentials = {community("garden")}) {
    config::Device device;
    device.name = "herbarium-copier";
    device.address = std::move(address);
    device.port = agent.endpoint().port();
    probe = std::make_unique<DeviceProbe>(
        network, clock, device, std::make_shared<const std::vector<config::Credential>>(std::move(credentials)));
  }

  // Polls to the end; what waits for an answer that does not come is helped on by the clock.
  model::DeviceReading poll() {
    const auto running = start(probe->poll());
    until([&] { return running->ended(); });
    REQUIRE(running->result);
    return *running->result;
  }

  // After the second poll it is known which cells of its rows the device lacks.
  model::DeviceReading settled() {
    poll();
    auto reading = poll();
    requests();
    return reading;
  }

  // Requests since the last call.
  std::size_t requests() { return agent.asked().size() - std::exchange(counted_, agent.asked().size()); }

  static Oid up_time() { return Oid(mib::object_of(mib::scalar::sys_up_time).oid()).append(0); }

  // Time goes by here and on the device.
  void up_for(model::SteadyTime::duration span) {
    clock.advance(span);
    const auto since = clock.steady_now() - model::SteadyTime{};
    agent.set(up_time(), TimeTicks{static_cast<std::uint32_t>(since / 10ms)});
  }

  void add_alert(std::uint32_t row, std::int32_t group, std::int32_t index, std::int32_t code) {
    agent.set(cell(mib::alert::columns[mib::alert::severity], row), Integer{3});
    agent.set(cell(mib::alert::columns[mib::alert::group], row), Integer{group});
    agent.set(cell(mib::alert::columns[mib::alert::group_index], row), Integer{index});
    agent.set(cell(mib::alert::columns[mib::alert::code], row), Integer{code});
  }

  // Polls a device that says nothing, for at most this long.
  std::optional<model::DeviceReading> poll_for(model::SteadyTime::duration span) {
    const auto running = start(probe->poll());
    clock.advance(span);
    return running->result;
  }

 private:
  std::size_t counted_ = 0;
};

void check_herbarium(const model::DeviceReading& reading) {
  CHECK(reading.device == "herbarium-copier");
  CHECK(reading.reach == Reach::answered);
  CHECK(reading.detail.empty());
  REQUIRE(reading.snapshot);
  const auto& device = *reading.snapshot;
  CHECK(device.system.description == "Quillfern 40");
  CHECK(device.general.serial_number == "QF-0001");
  CHECK(device.host.errors == model::ErrorBits{model::ErrorBit::door_open});
  CHECK(device.impressions() == 120345U);
  REQUIRE(device.covers.size() == 1);
  CHECK(device.covers[0].description == "Tür");
  CHECK(device.covers[0].open());
  REQUIRE(device.inputs.size() == 2);
  CHECK(device.inputs[1].current_level == model::Level(model::Amount{0}));
  REQUIRE(device.supplies.size() == 1);
  CHECK(device.supplies[0].percent() == 4.0);
  CHECK(device.supplies[0].colorant == "black");
  REQUIRE(device.alerts.size() == 1);
  CHECK(device.alerts[0].code == model::AlertCode::jam);
}

}  // namespace

TEST_CASE("the first poll reads a printer whole, in one round trip for each table and two for the rest") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  check_herbarium(herbarium.poll());
  CHECK(herbarium.agent.asked().size() == mib::tables.size() + 2);
}

TEST_CASE("a poll at which nothing has happened is one GET, and gives the same snapshot") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  const auto first = herbarium.settled();
  for (std::uint32_t poll = 1; poll <= 5; ++poll) {
    herbarium.up_for(30s);
    const auto again = herbarium.poll();
    check_herbarium(again);
    CHECK(again.snapshot == first.snapshot);
    CHECK(herbarium.requests() == 1);
    CHECK(herbarium.agent.asked().back().pdu == simfleet::ber::get_request);
  }
}

TEST_CASE("what moves by itself comes with the one GET") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.settled();
  auto& agent = herbarium.agent;
  const auto scalar = [](mib::scalar::Id id, std::uint32_t instance) {
    return Oid(mib::object_of(id).oid()).append(instance);
  };
  agent.set(scalar(mib::scalar::hr_printer_status, 1), Integer{4});
  agent.set(scalar(mib::scalar::hr_device_status, 1), Integer{3});
  agent.set(cell(mib::marker::columns[mib::marker::life_count], 1), Counter32{120350});
  agent.set(cell(mib::supply::columns[mib::supply::level], 1), Integer{300});
  agent.set(cell(mib::input::columns[mib::input::current_level], 1), Integer{245});
  agent.set(cell(mib::cover::columns[mib::cover::status], 1), Integer{4});
  agent.set(cell(mib::console_line::columns[mib::console_line::text], 1), Octets{"Papier f\xfcr Kopf"});
  herbarium.requests();
  const auto reading = herbarium.poll();
  CHECK(herbarium.requests() == 1);
  REQUIRE(reading.snapshot);
  const auto& device = *reading.snapshot;
  CHECK(device.host.printer == model::HostPrinterStatus::printing);
  CHECK(device.host.device == model::HostDeviceStatus::warning);
  CHECK(device.impressions() == 120350U);
  CHECK(device.supplies[0].percent() == 3.0);
  CHECK(device.inputs[0].current_level == model::Level(model::Amount{245}));
  CHECK_FALSE(device.covers[0].open());
  REQUIRE(device.console.size() == 1);
  CHECK(device.console[0].text == "Papier f\u00fcr Kopf");
  CHECK(device.alerts.size() == 1);
  CHECK(device.general.serial_number == "QF-0001");
}

TEST_CASE("an alert that ends without a count is seen by its row, and only what alerts touch is read again") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.settled();
  for (const auto& column : mib::alert::columns) herbarium.agent.remove(cell(column, 5));
  const auto reading = herbarium.poll();
  CHECK(reading.snapshot->alerts.empty());
  CHECK(herbarium.requests() == 3);  // lights and alerts; media paths and channels it is known to lack
}

TEST_CASE("a counted alert is read in the same poll") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.poll();
  herbarium.add_alert(6, 9, 1, 801);
  herbarium.agent.set(Oid(mib::object_of(mib::scalar::prt_alert_all_events).oid()).append(1), Counter32{2});
  const auto reading = herbarium.poll();
  REQUIRE(reading.snapshot->alerts.size() == 2);
  CHECK(reading.snapshot->alerts[1].group == model::AlertGroup::output);
}

TEST_CASE("on a device without alert counters new rows, gone rows and rows between are seen in one GETNEXT") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  auto& agent = herbarium.agent;
  agent.remove(Oid(mib::object_of(mib::scalar::prt_alert_all_events).oid()).append(1));
  agent.remove(Oid(mib::object_of(mib::scalar::prt_alert_critical_events).oid()).append(1));
  const auto first = herbarium.settled();
  CHECK(herbarium.poll().snapshot == first.snapshot);
  CHECK(herbarium.requests() == 1);
  CHECK(agent.asked().back().pdu == simfleet::ber::get_next_request);

  herbarium.add_alert(9, 9, 1, 801);
  CHECK(herbarium.poll().snapshot->alerts.size() == 2);
  herbarium.add_alert(7, 6, 1, 501);
  CHECK(herbarium.poll().snapshot->alerts.size() == 3);
  herbarium.requests();
  CHECK(herbarium.poll().snapshot->alerts.size() == 3);
  CHECK(herbarium.requests() == 1);
  for (const auto& column : mib::alert::columns) agent.remove(cell(column, 7));
  CHECK(herbarium.poll().snapshot->alerts.size() == 2);
  for (const auto& column : mib::alert::columns) agent.remove(cell(column, 5));
  CHECK(herbarium.poll().snapshot->alerts.size() == 1);
  for (const auto& column : mib::alert::columns) agent.remove(cell(column, 9));
  CHECK(herbarium.poll().snapshot->alerts.empty());
  herbarium.requests();
  CHECK(herbarium.poll().snapshot->alerts.empty());
  CHECK(herbarium.requests() == 1);
}

TEST_CASE("counters that miss a row are found out at the refresh and not gone by any more") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.poll();
  herbarium.add_alert(6, 9, 1, 801);
  CHECK(herbarium.poll().snapshot->alerts.size() == 1);
  herbarium.up_for(1h);
  CHECK(herbarium.poll().snapshot->alerts.size() == 2);
  herbarium.add_alert(7, 9, 1, 802);
  CHECK(herbarium.poll().snapshot->alerts.size() == 3);
}

TEST_CASE("a change of the inventory is read again, names and all") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.poll();
  herbarium.agent.set(cell(mib::input::columns[mib::input::name], 2), Octets{"Lower tray"});
  herbarium.agent.set(cell(mib::output::columns[mib::output::name], 1), Octets{"Top"});  // there was none
  CHECK(herbarium.poll().snapshot->inputs[1].name.empty());
  herbarium.agent.set(Oid(mib::object_of(mib::scalar::prt_general_config_changes).oid()).append(1), Counter32{2});
  const auto reading = herbarium.poll();
  CHECK(reading.snapshot->inputs[1].name == "Lower tray");
  REQUIRE(reading.snapshot->outputs.size() == 1);
  CHECK(reading.snapshot->outputs[0].name == "Top");
}

TEST_CASE("a cartridge that is fuller than before is read again, since it may be another one") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.poll();
  herbarium.agent.set(cell(mib::supply::columns[mib::supply::level], 1), Integer{20000});
  herbarium.agent.set(cell(mib::supply::columns[mib::supply::max_capacity], 1), Integer{20000});
  CHECK(herbarium.poll().snapshot->supplies[0].percent() == 100.0);
}

TEST_CASE("a device that has started again is read whole in the same poll") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.up_for(5h);
  herbarium.poll();
  herbarium.clock.advance(30s);
  herbarium.agent.set(herbarium.up_time(), TimeTicks{500});
  for (const auto& column : mib::alert::columns) herbarium.agent.remove(cell(column, 5));
  herbarium.agent.set(cell(mib::cover::columns[mib::cover::description], 1), Octets{"Door"});
  herbarium.requests();
  const auto reading = herbarium.poll();
  CHECK(reading.snapshot->covers[0].description == "Door");
  CHECK(reading.snapshot->alerts.empty());
  CHECK(herbarium.requests() > mib::tables.size());
}

TEST_CASE("everything is read again within the hour, and only then") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.poll();
  herbarium.agent.set(cell(mib::cover::columns[mib::cover::description], 1), Octets{"Door"});
  herbarium.up_for(29min);
  CHECK(herbarium.poll().snapshot->covers[0].description == "T\u00fcr");
  herbarium.up_for(31min);
  CHECK(herbarium.poll().snapshot->covers[0].description == "Door");
}

TEST_CASE("sysUpTime tells a restart from a wrap and from a poor clock (RFC 3418: 1/100 s, 32 bits)") {
  CHECK_FALSE(has_restarted(100'000, 103'000, 30s));
  CHECK_FALSE(has_restarted(100'000, 102'500, 30s));
  CHECK(has_restarted(100'000, 500, 30s));
  CHECK(has_restarted(100'000, 99'000, 30s));
  CHECK_FALSE(has_restarted(100'000, 99'990, 0s));
  CHECK(has_restarted(100'000, 150'000, 2h));           // silent for two hours, up for 25 minutes
  CHECK_FALSE(has_restarted(4294967000, 2704, 30s));    // wrapped
  CHECK(has_restarted(4294967000, 200'000, 30s));       // wrapped by too much
  CHECK_FALSE(has_restarted(4294967000, 720'000, 2h));  // wrapped while silent
}

TEST_CASE("only GET, GETNEXT and GETBULK ever reach a device") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.poll();
  for (const auto& asked : herbarium.agent.asked()) {
    const bool reads = asked.pdu == simfleet::ber::get_request || asked.pdu == simfleet::ber::get_next_request ||
                       asked.pdu == simfleet::ber::get_bulk_request;
    CHECK(reads);
  }
}

TEST_CASE("a printer whose hrDeviceIndex is not 1 is found, also when the two tables differ") {
  const auto [host, printer] = GENERATE(std::pair{7U, 7U}, std::pair{3U, 1U});
  Herbarium herbarium;
  make_printer(herbarium.agent, host, printer);
  check_herbarium(herbarium.poll());
}

TEST_CASE("a printer that was renumbered is found again in the same poll") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  check_herbarium(herbarium.poll());
  herbarium.agent.remove_all();
  make_printer(herbarium.agent, 4, 4);
  check_herbarium(herbarium.poll());
}

TEST_CASE("a silent device costs attempts times timeout, no more, and says so") {
  Herbarium herbarium;
  herbarium.agent.script([](const ScriptedAgent::Asked&) { return std::string{}; });
  const auto reading = herbarium.poll_for(4500ms);
  REQUIRE(reading);
  CHECK(reading->reach == Reach::silent);
  CHECK(reading->detail == "no answer in 3 attempts");
  CHECK_FALSE(reading->snapshot);
  CHECK(reading->at == herbarium.clock.wall_now());
}

TEST_CASE("the credential that works is found and is the only one used from then on") {
  Herbarium herbarium("127.0.0.1", {community("orchard"), community("garden")});
  make_printer(herbarium.agent, 1, 1);
  check_herbarium(herbarium.poll());
  const auto before = herbarium.agent.asked().size();
  check_herbarium(herbarium.poll());
  const auto& asked = herbarium.agent.asked();
  CHECK(std::all_of(asked.begin() + static_cast<std::ptrdiff_t>(before), asked.end(),
                    [](const ScriptedAgent::Asked& one) { return one.community == "garden"; }));
}

TEST_CASE("an agent that says it may not be read refuses") {
  Herbarium herbarium;
  const auto status = GENERATE(6, 16);  // noAccess, authorizationError (RFC 3416 section 3)
  herbarium.agent.script([status](const ScriptedAgent::Asked& asked) {
    return ScriptedAgent::answer(asked, {}, static_cast<simfleet::ErrorStatus>(status));
  });
  const auto reading = herbarium.poll();
  CHECK(reading.reach == Reach::refused);
  CHECK_FALSE(reading.snapshot);
}

TEST_CASE("an agent that answers NULL to everything talks nonsense") {
  Herbarium herbarium;
  herbarium.agent.script([](const ScriptedAgent::Asked& asked) {
    std::vector<VarBind> variables;
    for (const auto& name : asked.names) variables.push_back({name, Null{}});
    return ScriptedAgent::answer(asked, variables);
  });
  CHECK(herbarium.poll().reach == Reach::nonsense);
}

TEST_CASE("an agent that is no printer is answered for by its system group") {
  Herbarium herbarium;
  herbarium.agent.set(Oid(mib::object_of(mib::scalar::sys_descr).oid()).append(0), Octets{"a switch"});
  const auto reading = herbarium.poll();
  CHECK(reading.reach == Reach::answered);
  CHECK(reading.snapshot->system.description == "a switch");
  CHECK(reading.snapshot->gaps ==
        std::vector<std::string>{"the agent serves neither a printer's host resources nor the Printer MIB"});
}

TEST_CASE("an answer too big for one message is asked for in halves") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.agent.script([&](const ScriptedAgent::Asked& asked) {
    const bool too_big = asked.pdu == simfleet::ber::get_request && asked.names.size() > 5;
    return too_big ? ScriptedAgent::answer(asked, {}, simfleet::ErrorStatus::too_big) : herbarium.agent.serve(asked);
  });
  check_herbarium(herbarium.poll());
}

TEST_CASE("an object that the agent fails on does not lose the others") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  const Oid bad = Oid(mib::object_of(mib::scalar::sys_contact).oid()).append(0);
  herbarium.agent.script([&](const ScriptedAgent::Asked& asked) {
    const auto at = std::find(asked.names.begin(), asked.names.end(), bad);
    if (at == asked.names.end()) return herbarium.agent.serve(asked);
    const auto index = static_cast<std::size_t>(at - asked.names.begin()) + 1;
    return ScriptedAgent::answer(asked, {}, simfleet::ErrorStatus::gen_err, index);
  });
  const auto reading = herbarium.poll();
  check_herbarium(reading);
  CHECK(reading.snapshot->system.contact.empty());
}

TEST_CASE("a device that goes off in the middle of a poll is silent, not half read") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.agent.script([&](const ScriptedAgent::Asked& asked) {
    return herbarium.agent.asked().size() > 5 ? std::string{} : herbarium.agent.serve(asked);
  });
  const auto running = herbarium.start(herbarium.probe->poll());
  herbarium.until([&] { return herbarium.agent.asked().size() == 6; });
  herbarium.clock.advance(9s);  // two exchanges, three attempts each
  REQUIRE(running->result);
  CHECK(running->result->reach == Reach::silent);
  CHECK(running->result->detail == "stopped answering during the poll");
}

TEST_CASE("a table that one silence cost is shown as in the reading before, the others are new") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  check_herbarium(herbarium.poll());
  herbarium.agent.set(Oid(mib::supply::columns[mib::supply::level].oid()).append(1).append(1), Integer{300});
  herbarium.add_alert(6, 9, 1, 801);
  herbarium.agent.set(Oid(mib::object_of(mib::scalar::prt_alert_all_events).oid()).append(1), Counter32{2});
  const auto alerts = Oid(mib::alert::columns[0].oid());
  bool asked_for_alerts = false;
  herbarium.agent.script([&](const ScriptedAgent::Asked& asked) {
    const bool about_alerts = starts_with(asked.names[0], alerts);
    asked_for_alerts = asked_for_alerts || about_alerts;
    return about_alerts ? std::string{} : herbarium.agent.serve(asked);
  });
  const auto running = herbarium.start(herbarium.probe->poll());
  herbarium.until([&] { return asked_for_alerts; });
  herbarium.clock.advance(4500ms);
  REQUIRE(running->result);
  REQUIRE(running->result->snapshot);
  const auto& device = *running->result->snapshot;
  CHECK(device.alerts.size() == 1);
  CHECK(device.supplies[0].percent() == 3.0);
  CHECK(device.gaps ==
        std::vector<std::string>{"alerts: no answer in 3 attempts", "alerts: shown as in the reading before"});

  herbarium.agent.script({});  // nothing has moved since, and the debt is paid all the same
  const auto next = herbarium.poll();
  CHECK(next.snapshot->alerts.size() == 2);
  CHECK(next.snapshot->gaps.empty());
}

TEST_CASE("a device is found by its name") {
  Herbarium herbarium(kName);
  make_printer(herbarium.agent, 1, 1);
  check_herbarium(herbarium.poll());
}

TEST_CASE("a name is looked up again after silence, and what it meant before is asked meanwhile") {
  Herbarium herbarium(kName);
  make_printer(herbarium.agent, 1, 1);
  check_herbarium(herbarium.poll());
  herbarium.agent.script([](const ScriptedAgent::Asked&) { return std::string{}; });
  const auto silent = herbarium.poll_for(4500ms);
  REQUIRE(silent);
  CHECK(silent->reach == Reach::silent);
  herbarium.agent.script({});
  check_herbarium(herbarium.poll());
}

TEST_CASE("a name that means nothing is silence with a reason") {
  Herbarium herbarium("no-such-host.invalid");  // RFC 2606: .invalid never resolves
  const auto reading = herbarium.poll();
  CHECK(reading.reach == Reach::silent);
  CHECK(reading.detail.starts_with("no-such-host.invalid: "));
}

TEST_CASE("an agent that never ends is read in bounded round trips") {
  Herbarium herbarium;
  herbarium.agent.script([](const ScriptedAgent::Asked& asked) {
    // Always one more row after the one asked for.
    std::vector<VarBind> variables;
    for (const auto& name : asked.names) {
      auto ids = std::vector<std::uint32_t>(name.view().begin(), name.view().end());
      ids.size() < 13 ? ids.push_back(1) : void(++ids.back());
      variables.push_back({Oid(OidView(ids)), Integer{1}});
    }
    return ScriptedAgent::answer(asked, variables);
  });
  const auto reading = herbarium.poll();
  CHECK(herbarium.agent.asked().size() <= 170);
  CHECK(reading.reach == Reach::nonsense);  // GET is answered about other objects too
}

TEST_CASE("a table that breaks off after it could be read stays as it was, and is asked for until it ends again") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.add_alert(6, 9, 1, 801);
  CHECK(herbarium.settled().snapshot->alerts.size() == 2);
  const auto alerts = entry_of(mib::alert::columns[0]);
  herbarium.agent.script([&](const ScriptedAgent::Asked& asked) {
    if (!starts_with(asked.names[0], alerts)) return herbarium.agent.serve(asked);
    return ScriptedAgent::answer(asked, {}, simfleet::ErrorStatus::gen_err, 1);
  });
  herbarium.add_alert(7, 6, 1, 501);
  herbarium.agent.set(Oid(mib::object_of(mib::scalar::prt_alert_all_events).oid()).append(1), Counter32{2});
  const auto broken = herbarium.poll();
  CHECK(broken.reach == Reach::answered);
  CHECK(broken.snapshot->alerts.size() == 2);
  CHECK(std::ranges::count(broken.snapshot->gaps, "alerts: shown as in the reading before") == 1);
  CHECK(herbarium.poll().snapshot->alerts.size() == 2);

  herbarium.agent.script({});
  const auto whole = herbarium.poll();
  CHECK(whole.snapshot->alerts.size() == 3);
  CHECK(whole.snapshot->gaps.empty());
}

// RFC 3416 section 3: a value is unSpecified (NULL) in requests only.
TEST_CASE("tables answered with NULL for part of a reading stay as they were") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.add_alert(6, 9, 1, 801);
  const auto before = herbarium.settled();
  const auto covers = Oid(mib::cover::columns[0].oid()).append(1);
  const auto alerts = Oid(mib::alert::columns[0].oid()).append(1);
  const auto counter = Oid(mib::object_of(mib::scalar::prt_alert_all_events).oid()).append(1);
  herbarium.agent.script([&](const ScriptedAgent::Asked& asked) {
    if (asked.names[0] != covers && asked.names[0] != alerts) return herbarium.agent.serve(asked);
    std::vector<VarBind> variables;
    for (const auto& name : asked.names) variables.push_back({Oid(name).append(1), Null{}});
    return ScriptedAgent::answer(asked, variables);
  });
  herbarium.agent.set(Oid(mib::object_of(mib::scalar::prt_general_config_changes).oid()).append(1), Counter32{2});
  herbarium.agent.set(counter, Counter32{2});
  const auto part = herbarium.poll();
  CHECK(part.reach == Reach::answered);
  REQUIRE(part.snapshot);
  CHECK(part.snapshot->covers == before.snapshot->covers);
  CHECK(part.snapshot->alerts == before.snapshot->alerts);
  CHECK(std::ranges::count(part.snapshot->gaps, "covers: shown as in the reading before") == 1);
  CHECK(std::ranges::count(part.snapshot->gaps, "alerts: shown as in the reading before") == 1);

  herbarium.agent.script({});
  CHECK(herbarium.poll().snapshot->gaps.empty());
}

TEST_CASE("a table that breaks off for an hour is taken as it comes") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.settled();
  const auto covers = entry_of(mib::cover::columns[0]);
  herbarium.agent.script([&](const ScriptedAgent::Asked& asked) {
    if (!starts_with(asked.names[0], covers)) return herbarium.agent.serve(asked);
    return ScriptedAgent::answer(asked, {}, simfleet::ErrorStatus::gen_err, 1);
  });
  herbarium.agent.set(Oid(mib::object_of(mib::scalar::prt_general_config_changes).oid()).append(1), Counter32{2});
  CHECK(herbarium.poll().snapshot->covers.size() == 1);
  herbarium.up_for(1h);
  CHECK(herbarium.poll().snapshot->covers.empty());
}

TEST_CASE("an agent whose answers are of other types, or about other objects, is believed nothing") {
  const bool turned = GENERATE(false, true);
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.settled();
  herbarium.agent.script([&](const ScriptedAgent::Asked& asked) {
    std::vector<VarBind> variables;
    for (const auto& name : asked.names) variables.push_back({name, Oid{1, 3, 7}});
    if (turned) std::ranges::reverse(variables);
    return ScriptedAgent::answer(asked, variables);
  });
  for (int i = 0; i < 3; ++i) {
    const auto reading = herbarium.poll();
    CHECK(reading.reach == Reach::nonsense);
    CHECK_FALSE(reading.snapshot);
  }
  herbarium.agent.script({});
  check_herbarium(herbarium.poll());
}

TEST_CASE("rows that are numbered anew, uncounted, are all read again in the same poll") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  herbarium.agent.set(cell(mib::interpreter::columns[mib::interpreter::lang_level], 1), Octets{"3"});
  const auto before = herbarium.settled();
  REQUIRE(before.snapshot->interpreters.size() == 1);
  herbarium.agent.remove_all();
  make_printer(herbarium.agent, 1, 1);
  for (const auto& table : mib::tables)
    for (const auto& column : table.columns) {
      const auto name = Oid(column.oid()).append(1);
      herbarium.agent.remove(Oid(name).append(1));
      herbarium.agent.remove(Oid(name).append(2));
    }
  herbarium.agent.set(cell(mib::cover::columns[mib::cover::status], 11), Integer{3});
  herbarium.agent.set(cell(mib::interpreter::columns[mib::interpreter::lang_level], 11), Octets{"3"});
  const auto reading = herbarium.poll();
  REQUIRE(reading.snapshot->covers.size() == 1);
  CHECK(reading.snapshot->covers[0].index == 11);
  REQUIRE(reading.snapshot->interpreters.size() == 1);
  CHECK(reading.snapshot->interpreters[0].index == 11);
  CHECK(reading.snapshot->inputs.empty());
}

TEST_CASE("what came with gaps is read again after ten seconds, then after as long as it has had them") {
  Herbarium herbarium;
  make_printer(herbarium.agent, 1, 1);
  const auto bad = cell(mib::interpreter::columns[mib::interpreter::lang_level], 1);
  herbarium.agent.set(bad, Integer{3});
  CHECK(herbarium.settled().snapshot->gaps.size() == 1);
  const auto read_whole_after = [&](model::SteadyTime::duration span) {
    herbarium.up_for(span);
    herbarium.poll();
    return herbarium.requests() > 5;
  };
  CHECK_FALSE(read_whole_after(9s));
  CHECK(read_whole_after(1s));
  CHECK_FALSE(read_whole_after(9s));
  CHECK(read_whole_after(1s));
  CHECK_FALSE(read_whole_after(19s));
  herbarium.agent.set(bad, Octets{"3"});
  CHECK(read_whole_after(1s));
  CHECK_FALSE(read_whole_after(5min));
}

}  // namespace frisket::snmp
