// The expected documents follow the contract's own listing of a device (docs/api.md).
#include <catch2/catch.hpp>

#include "daemon/json/forms.h"

using namespace frisket;
using json::Json;
using model::Amount;

namespace {

const auto kEight = *model::from_rfc3339("2026-01-05T08:00:00Z");

config::Device herbarium_copier() {
  config::Device device;
  device.name = "herbarium-copier";
  device.address = "127.0.0.10";
  device.site = "glasshouse";
  device.location = "Herbarium, first floor";
  device.credentials = {"office-read"};
  return device;
}

model::Supply toner(std::int32_t index, model::Level level, model::Capacity capacity) {
  model::Supply supply;
  supply.index = index;
  supply.type = model::SupplyType::toner;
  supply.supply_class = model::SupplyClass::supply_that_is_consumed;
  supply.unit = model::SupplyUnit::impressions;
  supply.level = level;
  supply.max_capacity = capacity;
  return supply;
}

incidents::Condition condition(std::string keyword, model::Subunit subunit) {
  incidents::Condition made;
  made.keyword = std::move(keyword);
  made.subunit = subunit;
  made.since = kEight;
  return made;
}

incidents::DeviceStatus said(model::DeviceSnapshot snapshot) {
  incidents::DeviceStatus status;
  status.state = incidents::DeviceState::attention;
  status.reach = model::Reach::answered;
  status.last_reading_at = kEight;
  status.snapshot = std::make_shared<const model::DeviceSnapshot>(std::move(snapshot));
  return status;
}

// One of everything.
incidents::DeviceStatus whole_status() {
  model::DeviceSnapshot snapshot;
  snapshot.host.description = "Quillon LX 4100";
  snapshot.host.device = model::HostDeviceStatus::warning;
  snapshot.host.printer = model::HostPrinterStatus::idle;
  snapshot.host.errors = model::ErrorBits{model::ErrorBit::low_toner, model::ErrorBit::jammed};
  snapshot.general.serial_number = "Q-0001";
  auto black = toner(1, Amount{420}, Amount{10000});
  black.description = "Black Toner QT-4471K";
  black.colorant = "black";
  snapshot.supplies = {black};
  model::Input tray;
  tray.index = 2;
  tray.type = model::InputType::sheet_feed_auto_removable_tray;
  tray.unit = model::CapacityUnit::sheets;
  tray.max_capacity = Amount{500};
  tray.current_level = Amount{0};
  tray.status = model::SubunitStatus::decode(0);
  tray.name = "Tray 2";
  tray.media_name = "iso-a4-white";
  snapshot.inputs = {tray};
  model::Output bin;
  bin.index = 1;
  bin.type = model::OutputType::removable_bin;
  bin.unit = model::CapacityUnit::sheets;
  bin.max_capacity = Amount{250};
  bin.remaining_capacity = model::SomeLeft{};
  bin.status = model::SubunitStatus::decode(8);
  bin.description = "Face-down bin";
  snapshot.outputs = {bin};
  snapshot.covers = {{1, "Front door", model::CoverStatus::cover_open}, {2, "", model::CoverStatus::interlock_closed}};
  model::Marker marker;
  marker.index = 1;
  marker.mark_tech = model::MarkTech::electrophotographic_laser;
  marker.life_count = 120345;
  marker.status = model::SubunitStatus::decode(0);
  snapshot.markers = {marker};
  snapshot.colour_impressions = 34300;
  snapshot.console = {{1, "Paper jam"}, {2, ""}, {3, "Open front door"}};
  snapshot.lights = {{1, "Attention", model::LightColor::orange, 500, 500},
                     {2, "Ready", model::LightColor::green, 0, 1}};
  model::Alert alert;
  alert.index = 3;
  alert.severity = model::AlertSeverity::critical;
  alert.training = model::AlertTraining::trained;
  alert.group = model::AlertGroup::input;
  alert.group_index = 2;
  alert.location = 17;
  alert.code = model::AlertCode::jam;
  alert.description = "Paper jam in tray 2";
  snapshot.alerts = {alert};
  snapshot.gaps = {"supplies: more than 128 rows, the rest left out"};
  auto status = said(std::move(snapshot));
  status.conditions = {condition("toner-low", {model::Subunit::Kind::supply, 1})};
  return status;
}

Json only_supply(const model::Supply& supply, std::vector<incidents::Condition> conditions = {}) {
  return json::supply_form(supply, conditions);
}

}  // namespace

TEST_CASE("a device's form has exactly the contract's fields in the contract's order, then the extras") {
  const auto* expected =
      R"({"name":"herbarium-copier","address":"127.0.0.10","site":"glasshouse",)"
      R"("location":"Herbarium, first floor","state":"attention","maker":"Quillon","model":"LX 4100",)"
      R"("serial":"Q-0001","impressions":120345,"colour_impressions":34300,"last_reading_at":"2026-01-05T08:00:00.000Z",)"
      R"("supplies":[{"index":1,"type":"toner","class":"consumed","colorant":"black",)"
      R"("description":"Black Toner QT-4471K","part":"QT-4471K","percent":4.2,"low":true,)"
      R"("level":"known","days_left":null,"remaining":420,"capacity":10000,"unit":"impressions"}],)"
      R"("inputs":[{"index":2,"name":"Tray 2","media":"iso-a4-white","percent":0.0,"empty":true,)"
      R"("status":"idle","type":"sheet-feed-auto-removable-tray","level":"known","remaining":0,)"
      R"("capacity":500,"unit":"sheets"}],)"
      R"("outputs":[{"index":1,"name":"Face-down bin","percent":null,"full":false,)"
      R"("status":"idle, non-critical alerts","type":"removable-bin","level":"some",)"
      R"("remaining":null,"capacity":250,"unit":"sheets"}],)"
      R"("covers":[{"index":1,"name":"Front door","open":true,"status":"cover-open"},)"
      R"({"index":2,"name":"cover 2","open":false,"status":"interlock-closed"}],)"
      R"("console":["Paper jam","Open front door"],)"
      R"("conditions":[{"keyword":"toner-low","severity":"warning","subunit":"supply:1",)"
      R"("since":"2026-01-05T08:00:00.000Z","place":"","training":"untrained","device_text":"","witnesses":[]}],)"
      R"("reach":"answered","detail":"",)"
      R"("host":{"device":"warning","printer":"idle","errors":["low-toner","jammed"]},)"
      R"("lights":[{"index":1,"name":"Attention","color":"orange","shows":"blinking"},)"
      R"({"index":2,"name":"Ready","color":"green","shows":"off"}],)"
      R"("markers":[{"index":1,"technology":"electrophotographic-laser","life_count":120345,)"
      R"("power_on_count":null,"unit":"impressions","status":"idle"}],)"
      R"("alerts":[{"index":3,"severity":"critical","training":"trained","group":"input",)"
      R"("group_index":2,"location":17,"code":"jam","code_number":8,)"
      R"("description":"Paper jam in tray 2","subunit":"input:2"}],)"
      R"("gaps":["supplies: more than 128 rows, the rest left out"],)"
      R"("firmware":"","firmware_changed_at":null,"serial_changed_at":null,)"
      R"("languages":[],"channels":[],"interfaces":[],"device_id":null})";
  CHECK(json::text_of(json::device_form(herbarium_copier(), whole_status())) == expected);
}

TEST_CASE("a device that never answered has empty lists, and nulls where a number would be") {
  incidents::DeviceStatus status;
  status.detail = "no answer in 3 attempts";
  const auto form = json::device_form(herbarium_copier(), status);
  CHECK(form.at("state") == "unknown");
  CHECK(form.at("reach") == "silent");
  CHECK(form.at("detail") == "no answer in 3 attempts");
  CHECK(form.at("impressions").is_null());
  CHECK(form.at("colour_impressions").is_null());
  CHECK(form.at("last_reading_at").is_null());
  for (const auto* list : {"supplies", "inputs", "outputs", "covers", "console", "conditions", "lights", "alerts"}) {
    CAPTURE(list);
    CHECK(form.at(list) == Json::array());
  }
}

TEST_CASE("channels, languages, interfaces and the device id have the standards' names") {
  model::DeviceSnapshot snapshot;
  snapshot.host.description = "Laser printer";
  snapshot.device_ids = {{1, "MFG:Quillon;MDL:LX 4100;CMD:PS,PCLXL;", 0}};
  model::Interpreter postscript;
  postscript.index = 2;
  postscript.family = model::LangFamily::ps;
  postscript.level = "3";
  postscript.version = "4.18";
  snapshot.interpreters = {postscript};
  model::Channel port;
  port.index = 1;
  port.type = model::ChannelType::port9100;
  port.default_page_language = 2;
  port.current_job_language = 7;
  port.state = model::ChannelState::print_data_accepted;
  port.status = model::SubunitStatus::decode(0);
  snapshot.channels = {port};
  model::Interface ethernet;
  ethernet.index = 3;
  ethernet.description = "eth0";
  ethernet.speed = 100'000'000;
  ethernet.status = model::InterfaceStatus::lower_layer_down;
  ethernet.in_errors = 7;
  snapshot.interfaces = {ethernet};
  auto status = said(std::move(snapshot));
  status.firmware_changed_at = kEight;
  const auto form = json::device_form(herbarium_copier(), status);
  CHECK(form.at("maker") == "Quillon");
  CHECK(form.at("firmware") == "4.18");
  CHECK(form.at("firmware_changed_at") == "2026-01-05T08:00:00.000Z");
  CHECK(json::text_of(form.at("languages")) ==
        R"([{"index":2,"family":"ps","level":"3","version":"","description":"","firmware":"4.18"}])");
  CHECK(json::text_of(form.at("channels")) ==
        R"([{"index":1,"type":"port9100","language":"ps","job_language":null,"version":"",)"
        R"("information":"","state":"print-data-accepted","status":"idle"}])");
  CHECK(json::text_of(form.at("interfaces")) ==
        R"([{"index":3,"name":"eth0","status":"lower-layer-down","speed":100000000,"in_errors":7,)"
        R"("out_errors":null,"in_discards":null,"out_discards":null}])");
  CHECK(json::text_of(form.at("device_id")) ==
        R"({"manufacturer":"Quillon","model":"LX 4100","command_set":["PS","PCLXL"],"serial":"",)"
        R"("text":"MFG:Quillon;MDL:LX 4100;CMD:PS,PCLXL;"})");
}

TEST_CASE("no credential is in a device's form, not even its name") {
  CHECK(json::text_of(json::device_form(herbarium_copier(), whole_status())).find("office-read") == std::string::npos);
}

// RFC 3805, prtMarkerSuppliesLevel: -1 other, -2 unknown, -3 some remains.
TEST_CASE("each special level of the standard has its word and no percentage") {
  const auto capacity = model::Capacity{Amount{100}};
  const std::vector<std::pair<std::int32_t, std::string>> words = {{-1, "unlimited"}, {-2, "unknown"}, {-3, "some"}};
  for (const auto& [wire, word] : words) {
    CAPTURE(wire);
    const auto form = only_supply(toner(1, model::decode_level(wire), capacity));
    CHECK(form.at("level") == word);
    CHECK(form.at("percent").is_null());
    CHECK(form.at("remaining").is_null());
  }
}

TEST_CASE("a percentage has one decimal, and needs a capacity") {
  CHECK(json::text_of(only_supply(toner(1, Amount{1}, Amount{3})).at("percent")) == "33.3");
  CHECK(json::text_of(only_supply(toner(1, Amount{2}, Amount{3})).at("percent")) == "66.7");
  CHECK(json::text_of(only_supply(toner(1, Amount{42}, Amount{100})).at("percent")) == "42.0");
  const auto without = only_supply(toner(1, Amount{42}, model::Unknown{}));
  CHECK(without.at("percent").is_null());
  CHECK(without.at("level") == "known");
  CHECK(without.at("remaining") == 42);
}

TEST_CASE("a supply is low by a condition on that supply alone, and not for being missing") {
  using Kind = model::Subunit::Kind;
  const auto supply = toner(1, Amount{90}, Amount{100});
  for (const auto* keyword : {"toner-low", "toner-empty", "marker-supply-low", "marker-supply-empty",
                              "marker-waste-almost-full", "marker-waste-full", "opc-near-eol", "opc-life-over"}) {
    CAPTURE(keyword);
    CHECK(only_supply(supply, {condition(keyword, {Kind::supply, 1})}).at("low") == true);
  }
  CHECK(only_supply(supply).at("low") == false);
  CHECK(only_supply(supply, {condition("toner-low", {Kind::supply, 2})}).at("low") == false);
  CHECK(only_supply(supply, {condition("toner-low", {Kind::input, 1})}).at("low") == false);
  CHECK(only_supply(supply, {condition("marker-supply-missing", {Kind::supply, 1})}).at("low") == false);
}

TEST_CASE("a receptacle is filled, and a class that no edition lists survives as its number") {
  auto waste = toner(1, Amount{90}, Amount{100});
  waste.supply_class = model::SupplyClass::receptacle_that_is_filled;
  CHECK(only_supply(waste).at("class") == "filled");
  waste.supply_class = static_cast<model::SupplyClass>(77);
  waste.type = static_cast<model::SupplyType>(99);
  CHECK(only_supply(waste).at("class") == "unknown(77)");
  CHECK(only_supply(waste).at("type") == "unknown(99)");
}

TEST_CASE("an input is empty by its level or by a media-empty condition on it") {
  model::DeviceSnapshot snapshot;
  model::Input tray;
  tray.index = 1;
  tray.current_level = model::SomeLeft{};
  snapshot.inputs = {tray};
  auto status = said(snapshot);
  CHECK(json::device_form(herbarium_copier(), status).at("inputs").at(0).at("empty") == false);
  CHECK(json::device_form(herbarium_copier(), status).at("inputs").at(0).at("name") == "input 1");
  status.conditions = {condition("media-empty", {model::Subunit::Kind::input, 1})};
  CHECK(json::device_form(herbarium_copier(), status).at("inputs").at(0).at("empty") == true);
}

TEST_CASE("hostile texts come back out of the JSON as they were, and break nothing") {
  const std::string hostile = "</script><script>alert(\"1\")</script>\\ \x01\x1f\x7f \xe2\x80\xa8 ' \" {}[],:";
  model::DeviceSnapshot snapshot;
  snapshot.host.description = hostile;
  snapshot.general.serial_number = hostile;
  snapshot.console = {{1, hostile}};
  auto black = toner(1, Amount{1}, Amount{2});
  black.description = hostile;
  snapshot.supplies = {black};
  auto device = herbarium_copier();
  device.location = hostile;
  const auto text = json::text_of(json::device_form(device, said(snapshot)));
  CHECK(text.find('\n') == std::string::npos);
  CHECK(text.find('\x01') == std::string::npos);
  const auto back = Json::parse(text);
  CHECK(back.at("serial") == hostile);
  CHECK(back.at("location") == hostile);
  CHECK(back.at("console").at(0) == hostile);
  CHECK(back.at("supplies").at(0).at("description") == hostile);
}

TEST_CASE("octets that are not UTF-8 become replacement characters and never an exception") {
  model::DeviceSnapshot snapshot;
  snapshot.general.serial_number = "a\xff\xc3";
  const auto text = json::text_of(json::device_form(herbarium_copier(), said(snapshot)));
  CHECK(Json::parse(text).at("serial") == "a\xef\xbf\xbd\xef\xbf\xbd");
}
