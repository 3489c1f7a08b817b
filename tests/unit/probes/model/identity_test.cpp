#include "probes/model/identity.h"

#include <catch2/catch.hpp>

namespace frisket::model {
namespace {

using Commands = std::vector<std::string>;

DeviceSnapshot quillon() {
  DeviceSnapshot device;
  device.system.description = "Quillon LX 4100, firmware 4.18";
  device.host.description = "Quillon LX 4100";
  device.host.index = 1;
  device.general.serial_number = "QX-0001";
  return device;
}

Interpreter with_version(std::string version) {
  Interpreter interpreter;
  interpreter.version = std::move(version);
  return interpreter;
}

TEST_CASE("an IEEE 1284 device id is read by its keys, in full or short, in any order and case") {
  const DeviceId quillon_lx{"Quillon", "LX 4100", {"PS", "PCLXL"}, "QX-1"};
  CHECK(parse_device_id("MFG:Quillon;MDL:LX 4100;CMD:PS,PCLXL;SN:QX-1;") == quillon_lx);
  CHECK(parse_device_id("manufacturer: Quillon ; Command Set: PS , PCLXL ;Model:LX 4100;SERN:QX-1") == quillon_lx);
  CHECK(parse_device_id("CLS:PRINTER;CMD:PS,PCLXL;MDL:LX 4100;DES:all of it;MFG:Quillon;SN:QX-1;MFG:Other;CMD:X;") ==
        quillon_lx);
}

TEST_CASE("what is no device id gives nothing, and nothing of it is unbounded") {
  for (const std::string text : {"", ";", ";;;", ":", "Quillon LX 4100", "MFG", "MFG:;MDL:;", ":Quillon;"})
    CHECK(parse_device_id(text) == DeviceId{});
  CHECK(parse_device_id("MFG:Quillon:Works;").manufacturer == "Quillon:Works");
  std::string many = "CMD:";
  for (int i = 0; i < 400; ++i) many += "a,";
  CHECK(parse_device_id(many).command_set.size() == 32);
  CHECK(parse_device_id("CMD:,, ,PS,;").command_set == Commands{"PS"});
}

TEST_CASE("the device id tells the maker better than a description does") {
  auto device = quillon();
  device.host.description = "Laser printer of Quillon";
  CHECK(identity_of(device).maker == "Laser");
  device.device_ids = {{1, "MFG:Quillon;MDL:LX 4100;SN:QX-9;", 1}};
  CHECK(identity_of(device).maker == "Quillon");
  CHECK(identity_of(device).model == "LX 4100");
  CHECK(identity_of(device).serial == "QX-0001");
  device.general.serial_number.clear();
  CHECK(identity_of(device).serial == "QX-9");
  device.device_ids[0].text = "MDL:LX 4200;";
  CHECK(identity_of(device).maker == "Laser");
  CHECK(identity_of(device).model == "LX 4200");
}

TEST_CASE("of the device ids behind one agent the one that is mapped to this printer counts") {
  auto device = quillon();
  device.host.index = 5;
  device.device_ids = {{1, "MDL:first;", 3}, {2, "MDL:second;", 5}};
  CHECK(device_id_of(device) == "MDL:second;");
  device.host.index = 0;
  device.device_ids[1].host_index = 0;
  CHECK(device_id_of(device) == "MDL:first;");
  device.device_ids.clear();
  CHECK(device_id_of(device).empty());
}

TEST_CASE("the firmware is that of the interpreters, or what sysDescr says it is") {
  auto device = quillon();
  CHECK(identity_of(device).firmware == "4.18");
  device.interpreters = {with_version("4.20"), with_version(""), with_version("4.20")};
  CHECK(identity_of(device).firmware == "4.20");
  device.interpreters.push_back(with_version("7"));
  CHECK(identity_of(device).firmware == "4.20, 7");
  device.interpreters.clear();
  for (const auto& [text, firmware] :
       std::vector<std::pair<std::string, std::string>>{{"Quillon;Firmware Version: 2.06.11;x", "2.06.11"},
                                                        {"FIRMWARE=L4-3.9", "L4-3.9"},
                                                        {"firmware", ""},
                                                        {"firmware of the printer 7", ""},
                                                        {"Quillon LX 4100", ""}}) {
    device.system.description = text;
    CHECK(identity_of(device).firmware == firmware);
  }
}

TEST_CASE("another firmware or serial number is a change, silence about it is none") {
  const auto before = identity_of(quillon());
  auto device = quillon();
  CHECK_FALSE(change_of(before, identity_of(device)));
  device.interpreters = {with_version("4.20")};
  CHECK(change_of(before, identity_of(device)).firmware);
  CHECK_FALSE(change_of(before, identity_of(device)).serial);
  device = quillon();
  device.general.serial_number = "QX-0002";
  CHECK(change_of(before, identity_of(device)).serial);
  CHECK_FALSE(change_of(before, identity_of(device)).firmware);
  device.general.serial_number.clear();
  device.system.description.clear();
  CHECK_FALSE(change_of(before, identity_of(device)));
  CHECK_FALSE(change_of(identity_of(device), before));
}

TEST_CASE("snapshots of the same sources are known without looking closer") {
  const auto before = quillon();
  auto now = before;
  now.general.all_events = 7;
  now.alerts.resize(1);
  CHECK(same_sources(before, now));
  now.interpreters = {with_version("4.20")};
  CHECK_FALSE(same_sources(before, now));
}

}  // namespace
}  // namespace frisket::model
