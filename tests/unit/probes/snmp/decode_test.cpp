#include "probes/snmp/decode.h"

#include <algorithm>
#include <catch2/catch.hpp>

namespace frisket::snmp {
namespace {

using mib::TableId;

// One raw reading, filled in the words of the MIB.
struct Raw {
  RawReading reading;

  Raw() {
    for (auto& table : reading.tables) table.complete = true;
  }

  Raw& scalar(mib::scalar::Id id, Value value) {
    reading.scalars[id] = std::move(value);
    return *this;
  }

  Raw& cell(TableId table, std::int32_t row, std::size_t column, Value value) {
    auto& rows = reading[table].rows;
    auto at = std::ranges::find(rows, row, &Row::index);
    if (at == rows.end()) {
      at = rows.insert(rows.end(), Row{row, std::vector<Value>(mib::table(table).columns.size())});
    }
    at->cells[column] = std::move(value);
    return *this;
  }

  // A localization row that both the texts and the console use.
  Raw& charset(std::int32_t mib_enum) {
    scalar(mib::scalar::prt_general_current_localization, Integer{3});
    scalar(mib::scalar::prt_console_localization, Integer{3});
    return cell(TableId::localizations, 3, mib::localization::character_set, Integer{mib_enum});
  }

  Raw& alert(std::int32_t row, std::int32_t severity, std::int32_t group, std::int32_t group_index, std::int32_t code) {
    cell(TableId::alerts, row, mib::alert::severity, Integer{severity});
    cell(TableId::alerts, row, mib::alert::group, Integer{group});
    cell(TableId::alerts, row, mib::alert::group_index, Integer{group_index});
    return cell(TableId::alerts, row, mib::alert::code, Integer{code});
  }

  model::DeviceSnapshot decoded(const model::DeviceSnapshot* before = nullptr) const { return decode(reading, before); }
};

}  // namespace

TEST_CASE("an empty reading decodes to a device of which nothing is known, without gaps") {
  const Raw raw;
  CHECK(raw.reading.empty());
  const auto device = raw.decoded();
  CHECK(device == model::DeviceSnapshot{});
  CHECK_FALSE(device.impressions());
}

TEST_CASE("the status scalars keep what is missing apart from what is zero") {
  const auto device = Raw()
                          .scalar(mib::scalar::sys_up_time, TimeTicks{4294967295})
                          .scalar(mib::scalar::sys_object_id, Oid{1, 3, 6, 1, 4, 1, 99999})
                          .scalar(mib::scalar::hr_device_status, Integer{5})
                          .scalar(mib::scalar::hr_printer_status, NoSuchInstance{})
                          .scalar(mib::scalar::prt_alert_critical_events, Counter32{0})
                          .scalar(mib::scalar::prt_alert_all_events, NoSuchObject{})
                          .decoded();
  CHECK(device.system.up_time == 4294967295U);
  CHECK(device.system.object_id == "1.3.6.1.4.1.99999");
  CHECK(device.host.device == model::HostDeviceStatus::down);
  CHECK_FALSE(device.host.printer);
  CHECK_FALSE(device.host.errors);
  CHECK(device.general.critical_events == 0U);
  CHECK_FALSE(device.general.all_events);
  CHECK(device.gaps.empty());
}

TEST_CASE("error bits count from the top of the first octet, and one octet is legal") {
  // RFC 2790 hrPrinterDetectedErrorState; vectors computed from its bit numbering.
  const auto errors = [](std::string octets) {
    return Raw().scalar(mib::scalar::hr_printer_detected_error_state, Octets{std::move(octets)}).decoded().host.errors;
  };
  using model::ErrorBit;
  CHECK(errors("\x08") == model::ErrorBits{ErrorBit::door_open});
  CHECK(errors("\x41\x04") ==
        model::ErrorBits{ErrorBit::no_paper, ErrorBit::service_requested, ErrorBit::input_tray_empty});
  CHECK(errors("") == model::ErrorBits{});
}

TEST_CASE("levels and capacities keep the standard's special values apart") {
  // RFC 3805 prtMarkerSuppliesLevel, prtMarkerSuppliesMaxCapacity: -1 other, -2 unknown, -3 some left.
  const auto supply = [](std::int32_t capacity, std::int32_t level) {
    return Raw()
        .cell(TableId::supplies, 1, mib::supply::max_capacity, Integer{capacity})
        .cell(TableId::supplies, 1, mib::supply::level, Integer{level})
        .decoded()
        .supplies.at(0);
  };
  CHECK(supply(10000, 400).percent() == 4.0);
  CHECK(supply(10000, 0).percent() == 0.0);
  CHECK(std::holds_alternative<model::SomeLeft>(supply(10000, -3).level));
  CHECK(std::holds_alternative<model::Unknown>(supply(10000, -2).level));
  CHECK(std::holds_alternative<model::Unlimited>(supply(10000, -1).level));
  CHECK(std::holds_alternative<model::Unknown>(supply(-2, 400).max_capacity));
  CHECK(std::holds_alternative<model::Unlimited>(supply(-1, 400).max_capacity));
  CHECK_FALSE(supply(-2, 400).percent());
  CHECK(std::holds_alternative<model::Unknown>(supply(10000, -2147483647).level));
}

TEST_CASE("a supply without its level cell is unknown, not empty") {
  const auto device = Raw().cell(TableId::supplies, 1, mib::supply::max_capacity, Integer{100}).decoded();
  CHECK(std::holds_alternative<model::Unknown>(device.supplies.at(0).level));
  CHECK_FALSE(device.supplies.at(0).percent());
}

TEST_CASE("a supply is named after the colorant row it points at") {
  const auto device = Raw()
                          .cell(TableId::colorants, 2, mib::colorant::value, Octets{"cyan"})
                          .cell(TableId::supplies, 1, mib::supply::colorant_index, Integer{2})
                          .cell(TableId::supplies, 2, mib::supply::colorant_index, Integer{0})
                          .cell(TableId::supplies, 3, mib::supply::colorant_index, Integer{9})
                          .decoded();
  CHECK(device.supplies.at(0).colorant == "cyan");
  CHECK(device.supplies.at(1).colorant.empty());
  CHECK(device.supplies.at(2).colorant.empty());
}

TEST_CASE("numbers that no edition of the standard lists survive") {
  const auto device = Raw()
                          .cell(TableId::covers, 1, mib::cover::status, Integer{77})
                          .cell(TableId::supplies, 1, mib::supply::type, Integer{1234})
                          .alert(1, 2, 99, -1, 54321)
                          .decoded();
  CHECK(static_cast<std::int32_t>(device.covers.at(0).status) == 77);
  CHECK(static_cast<std::int32_t>(device.supplies.at(0).type) == 1234);
  CHECK(static_cast<std::int32_t>(device.alerts.at(0).severity) == 2);
  CHECK(static_cast<std::int32_t>(device.alerts.at(0).group) == 99);
  CHECK(static_cast<std::int32_t>(device.alerts.at(0).code) == 54321);
  CHECK(device.gaps.empty());
}

TEST_CASE("localized text is read in the charset that the device declares") {
  const auto description = [](std::int32_t charset, std::string octets) {
    return Raw()
        .charset(charset)
        .cell(TableId::inputs, 1, mib::input::description, Octets{std::move(octets)})
        .decoded()
        .inputs.at(0)
        .description;
  };
  CHECK(description(4, "Papierfach f\xfcr A4") == "Papierfach für A4");         // ISO-8859-1
  CHECK(description(17, "\x83\x67\x83\x8c\x83\x43") == "トレイ");               // Shift_JIS
  CHECK(description(106, "\xe3\x83\x88\xe3\x83\xac\xe3\x82\xa4") == "トレイ");  // UTF-8
  CHECK(description(1013, std::string("\x4e\x2d", 2)) == "中");                 // UTF-16BE, all octets printable ASCII
  CHECK(description(9999, "Fach f\xfcr") == "Fach für");                        // unknown: Latin-1
}

TEST_CASE("console text is in the console's charset, plain strings need none") {
  auto raw = Raw();
  raw.scalar(mib::scalar::prt_general_current_localization, Integer{1});
  raw.scalar(mib::scalar::prt_console_localization, Integer{2});
  raw.cell(TableId::localizations, 1, mib::localization::character_set, Integer{1013});  // UTF-16BE
  raw.cell(TableId::localizations, 2, mib::localization::character_set, Integer{17});    // Shift_JIS
  raw.cell(TableId::console, 1, mib::console_line::text, Octets{"\x83\x67\x83\x8c\x83\x43"});
  raw.cell(TableId::inputs, 1, mib::input::name, Octets{"Tray 1"});  // no localized type
  const auto device = raw.decoded();
  CHECK(device.console.at(0).text == "トレイ");
  CHECK(device.inputs.at(0).name == "Tray 1");
}

TEST_CASE("a 64 KB string becomes a bounded one, control characters and all") {
  std::string octets(65000, 'a');
  octets[3] = '\n';
  octets[5] = '\x1b';
  const auto device = Raw().scalar(mib::scalar::sys_descr, Octets{octets}).decoded();
  CHECK(device.system.description.size() <= model::kMaxText);
  CHECK(device.system.description.starts_with("aaa a a"));
}

TEST_CASE("a value of the wrong type is left out, noted, and loses nothing else") {
  const auto device = Raw()
                          .scalar(mib::scalar::sys_descr, Integer{7})
                          .scalar(mib::scalar::hr_printer_status, Octets{"idle"})
                          .scalar(mib::scalar::hr_printer_detected_error_state, Integer{8})
                          .cell(TableId::supplies, 4, mib::supply::level, Octets{"full"})
                          .cell(TableId::supplies, 4, mib::supply::description, Octets{"Black toner"})
                          .decoded();
  CHECK(device.supplies.at(0).description == "Black toner");
  CHECK(device.gaps ==
        std::vector<std::string>{"sysDescr is not text", "hrPrinterStatus is not a number of its type",
                                 "hrPrinterDetectedErrorState is not a string of octets",
                                 "supplies: prtMarkerSuppliesLevel of row 4 is not a number of its type"});
}

TEST_CASE("a reading is nonsense when most of what was answered is of other types or about other objects") {
  auto raw = Raw().scalar(mib::scalar::sys_descr, Integer{7}).scalar(mib::scalar::hr_printer_status, Integer{3});
  CHECK_FALSE(is_nonsense(raw.reading, raw.decoded()));
  raw.reading.notes.emplace_back("sysUpTime: the agent answered for another object");
  CHECK(is_nonsense(raw.reading, raw.decoded()));
  CHECK_FALSE(is_nonsense(Raw().reading, Raw().decoded()));
}

TEST_CASE("what is longer than any text or set of error bits may be is noted") {
  const auto device = Raw()
                          .scalar(mib::scalar::sys_name, Octets{std::string(256, 'a')})
                          .scalar(mib::scalar::sys_location, Octets{std::string(255, 'a')})
                          .scalar(mib::scalar::hr_printer_detected_error_state, Octets{std::string(9, 'w')})
                          .decoded();
  CHECK(device.gaps == std::vector<std::string>{"sysName is longer than texts may be, and was cut",
                                                "hrPrinterDetectedErrorState is longer than any set of its bits"});
  CHECK_FALSE(device.host.errors);
}

TEST_CASE("what is left of many gaps stays bounded when some of their tables are read again") {
  auto raw = Raw();
  for (std::int32_t row = 1; row <= 20; ++row) {
    raw.cell(TableId::covers, row, mib::cover::status, Octets{"?"});
    raw.cell(TableId::outputs, row, mib::output::remaining_capacity, Octets{"?"});
  }
  auto device = raw.decoded();
  TableSet covers;
  covers.set(static_cast<std::size_t>(TableId::covers));
  for (int i = 0; i < 3; ++i) {
    device = decode_tables(raw.reading, covers, device);
    CHECK(std::ranges::count(device.gaps, "and more") <= 1);
  }
}

TEST_CASE("a counter served as another numeric type is taken when it fits") {
  const auto count = [](Value value) {
    return Raw()
        .cell(TableId::markers, 1, mib::marker::life_count, std::move(value))
        .decoded()
        .markers.at(0)
        .life_count;
  };
  CHECK(count(Counter32{4294967295}) == 4294967295U);
  CHECK(count(Integer{120345}) == 120345U);
  CHECK(count(Gauge32{7}) == 7U);
  CHECK(count(Counter64{7}) == 7U);
  CHECK_FALSE(count(Integer{-2}));
  CHECK_FALSE(count(Counter64{4294967296}));
}

TEST_CASE("the gaps are bounded however much is wrong") {
  auto raw = Raw();
  for (std::int32_t row = 1; row <= 128; ++row) raw.cell(TableId::covers, row, mib::cover::status, Octets{"?"});
  const auto device = raw.decoded();
  CHECK(device.covers.size() == 128);
  CHECK(device.gaps.size() == 33);
  CHECK(device.gaps.back() == "and more");
}

TEST_CASE("an alert row that went while it was read is left out, a whole one is kept") {
  auto raw = Raw();
  raw.alert(5, 3, 8, 2, 8);
  raw.cell(TableId::alerts, 6, mib::alert::code, Integer{8});
  const auto device = raw.decoded();
  REQUIRE(device.alerts.size() == 1);
  CHECK(device.alerts[0].index == 5);
  CHECK(device.alerts[0].severity == model::AlertSeverity::critical);
  CHECK(device.alerts[0].code == model::AlertCode::jam);
  CHECK(device.alerts[0].subunit() == model::Subunit{model::Subunit::Kind::input, 2});
  CHECK(device.alerts[0].location == -2);
  CHECK_FALSE(device.alerts[0].time);
  CHECK(device.gaps == std::vector<std::string>{"alerts: row 6 is incomplete and was left out"});
}

TEST_CASE("a table that was interrupted is shown as in the reading before") {
  const auto before = Raw().alert(5, 3, 8, 2, 8).decoded();
  auto raw = Raw();
  raw.reading[TableId::alerts].complete = false;
  raw.reading[TableId::alerts].notes = {"alerts: no answer in 3 attempts"};
  const auto device = raw.decoded(&before);
  CHECK(device.alerts == before.alerts);
  CHECK(device.gaps ==
        std::vector<std::string>{"alerts: no answer in 3 attempts", "alerts: shown as in the reading before"});

  CHECK(raw.decoded().alerts.empty());  // nothing before: nothing to show
}

TEST_CASE("weights and speeds below zero are no numbers") {
  const auto device = Raw()
                          .cell(TableId::inputs, 1, mib::input::media_weight, Integer{-2})
                          .cell(TableId::inputs, 2, mib::input::media_weight, Integer{80})
                          .cell(TableId::media_paths, 1, mib::media_path::max_speed, Integer{-1})
                          .decoded();
  CHECK_FALSE(device.inputs.at(0).media_weight);
  CHECK(device.inputs.at(1).media_weight == 80);
  CHECK_FALSE(device.media_paths.at(0).max_speed);
}

TEST_CASE("every cell of every table has its place in the model") {
  auto raw = Raw();
  raw.charset(106);
  std::int32_t number = 10;
  const auto text = [&] { return Octets{"text " + std::to_string(++number)}; };
  const auto integer = [&] { return Integer{++number}; };
  namespace m = mib;
  raw.cell(TableId::inputs, 1, m::input::type, integer()).cell(TableId::inputs, 1, m::input::capacity_unit, integer());
  raw.cell(TableId::inputs, 1, m::input::max_capacity, integer());
  raw.cell(TableId::inputs, 1, m::input::current_level, integer())
      .cell(TableId::inputs, 1, m::input::status, Integer{0x0c});
  raw.cell(TableId::inputs, 1, m::input::media_name, text()).cell(TableId::inputs, 1, m::input::name, text());
  raw.cell(TableId::inputs, 1, m::input::description, text())
      .cell(TableId::inputs, 1, m::input::media_weight, integer());
  raw.cell(TableId::inputs, 1, m::input::media_type, text()).cell(TableId::inputs, 1, m::input::media_color, text());
  raw.cell(TableId::outputs, 1, m::output::type, integer())
      .cell(TableId::outputs, 1, m::output::remaining_capacity, integer());
  raw.cell(TableId::outputs, 1, m::output::name, text()).cell(TableId::outputs, 1, m::output::description, text());
  raw.cell(TableId::channels, 1, m::channel::type, integer())
      .cell(TableId::channels, 1, m::channel::protocol_version, text());
  raw.cell(TableId::channels, 1, m::channel::current_job_language, integer());
  raw.cell(TableId::channels, 1, m::channel::default_page_language, integer());
  raw.cell(TableId::channels, 1, m::channel::information, text());
  raw.cell(TableId::interpreters, 1, m::interpreter::lang_family, integer());
  raw.cell(TableId::interpreters, 1, m::interpreter::lang_level, text());
  raw.cell(TableId::interpreters, 1, m::interpreter::lang_version, text());
  raw.cell(TableId::interpreters, 1, m::interpreter::description, text());
  raw.cell(TableId::interpreters, 1, m::interpreter::version, text());
  raw.cell(TableId::lights, 1, m::console_light::on_time, integer())
      .cell(TableId::lights, 1, m::console_light::off_time, integer());
  raw.cell(TableId::lights, 1, m::console_light::color, integer())
      .cell(TableId::lights, 1, m::console_light::description, text());
  const auto device = raw.decoded();
  const auto& input = device.inputs.at(0);
  CHECK(static_cast<int>(input.type) == 11);
  CHECK(static_cast<int>(input.unit) == 12);
  CHECK(input.max_capacity == model::Capacity(model::Amount{13}));
  CHECK(input.current_level == model::Level(model::Amount{14}));
  CHECK(input.status == model::SubunitStatus::decode(0x0c));
  CHECK(input.media_name == "text 15");
  CHECK(input.name == "text 16");
  CHECK(input.description == "text 17");
  CHECK(input.media_weight == 18);
  CHECK(input.media_type == "text 19");
  CHECK(input.media_color == "text 20");
  const auto& output = device.outputs.at(0);
  CHECK(static_cast<int>(output.type) == 21);
  CHECK(output.remaining_capacity == model::Level(model::Amount{22}));
  CHECK(output.name == "text 23");
  CHECK(output.description == "text 24");
  const auto& channel = device.channels.at(0);
  CHECK(static_cast<int>(channel.type) == 25);
  CHECK(channel.protocol_version == "text 26");
  CHECK(channel.current_job_language == 27);
  CHECK(channel.default_page_language == 28);
  CHECK(channel.information == "text 29");
  const auto& interpreter = device.interpreters.at(0);
  CHECK(static_cast<int>(interpreter.family) == 30);
  CHECK(interpreter.level == "text 31");
  CHECK(interpreter.language_version == "text 32");
  CHECK(interpreter.description == "text 33");
  CHECK(interpreter.version == "text 34");
  const auto& light = device.lights.at(0);
  CHECK(light.on_time == 35);
  CHECK(light.off_time == 36);
  CHECK(static_cast<int>(light.color) == 37);
  CHECK(light.description == "text 38");
}

// RFC 2863; 24 is the IANAifType of a loopback.
TEST_CASE("interfaces are decoded without the loopback, and no more than eight") {
  namespace at = mib::network_interface;
  Raw raw;
  raw.cell(TableId::interfaces, 1, at::type, Integer{24}).cell(TableId::interfaces, 1, at::description, Octets{"lo"});
  raw.cell(TableId::interfaces, 2, at::type, Integer{6})
      .cell(TableId::interfaces, 2, at::description, Octets{"eth0"})
      .cell(TableId::interfaces, 2, at::speed, Gauge32{4294967295})
      .cell(TableId::interfaces, 2, at::oper_status, Integer{2})
      .cell(TableId::interfaces, 2, at::in_errors, Counter32{4294967295})
      .cell(TableId::interfaces, 2, at::out_errors, Octets{"many"});
  auto device = raw.decoded();
  REQUIRE(device.interfaces.size() == 1);
  const auto& ethernet = device.interfaces[0];
  CHECK(ethernet.index == 2);
  CHECK(ethernet.description == "eth0");
  CHECK(ethernet.speed == 4294967295U);
  CHECK(ethernet.status == model::InterfaceStatus::down);
  CHECK(ethernet.in_errors == 4294967295U);
  CHECK_FALSE(ethernet.out_errors);
  CHECK_FALSE(ethernet.in_discards);
  CHECK(device.gaps == std::vector<std::string>{"interfaces: ifOutErrors of row 2 is not a number of its type"});
  for (std::int32_t row = 3; row <= 12; ++row) raw.cell(TableId::interfaces, row, at::type, Integer{6});
  device = raw.decoded();
  REQUIRE(device.interfaces.size() == 8);
  CHECK(device.interfaces.back().index == 9);
}

// PWG 5107.1: the id without the two octets of length that IEEE 1284 has before it.
TEST_CASE("a device id is decoded with or without the length before it, and bounded") {
  namespace at = mib::port_monitor;
  const std::string id = "MFG:Quillon;MDL:LX 4100;";
  Raw raw;
  raw.reading.host_index = 5;
  raw.cell(TableId::device_ids, 1, at::device_id, Octets{id}).cell(TableId::device_ids, 1, at::host_index, Integer{5});
  raw.cell(TableId::device_ids, 2, at::device_id, Octets{std::string{'\0', static_cast<char>(id.size() + 2)} + id});
  raw.cell(TableId::device_ids, 3, at::device_id, Octets{std::string(65000, 'x')});
  const auto device = raw.decoded();
  REQUIRE(device.device_ids.size() == 3);
  CHECK(device.device_ids[0] == model::DeviceIdRow{1, id, 5});
  CHECK(device.device_ids[1] == model::DeviceIdRow{2, id, 0});
  CHECK(device.device_ids[2].text.size() == model::kMaxDeviceId);
  CHECK(device.host.index == 5);
}

}  // namespace frisket::snmp
