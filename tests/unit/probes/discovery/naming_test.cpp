#include "probes/discovery/naming.h"

#include <catch2/catch.hpp>

#include "config/syntax.h"

namespace frisket::discovery {
namespace {

Found printer(std::string system_name, std::string printer_name = "", std::string description = "",
              std::string serial = "") {
  auto snapshot = std::make_shared<model::DeviceSnapshot>();
  snapshot->system.name = std::move(system_name);
  snapshot->general.printer_name = std::move(printer_name);
  snapshot->general.serial_number = std::move(serial);
  snapshot->host.description = std::move(description);
  Found found;
  found.address = boost::asio::ip::make_address("192.0.2.17");
  found.kind = Kind::printer;
  found.snapshot = std::move(snapshot);
  return found;
}

TEST_CASE("a printer is named by its sysName without the domain") {
  CHECK(name_for(printer("Herbarium-Copier", "other")) == "herbarium-copier");
  CHECK(name_for(printer("herbarium-copier.garden.example")) == "herbarium-copier");
  CHECK(name_for(printer("Copier, first floor")) == "copier-first-floor");
}

TEST_CASE("without a sysName that says something, the printer's own name counts, then model and serial number") {
  CHECK(name_for(printer("", "Seed bank")) == "seed-bank");
  CHECK(name_for(printer("192.0.2.17", "Seed bank")) == "seed-bank");
  CHECK(name_for(printer("---", "Seed bank")) == "seed-bank");
  CHECK(name_for(printer("", "", "Lumenveld Chroma C55", "LV55-018842")) == "chroma-c55-lv55-018842");
  CHECK(name_for(printer("", "", "Lumenveld Chroma C55")) == "chroma-c55");
  CHECK(name_for(printer("", "")) == "printer-192.0.2.17");
}

TEST_CASE("an agent that went silent is named by what is known, at least its address") {
  Found found;
  found.address = boost::asio::ip::make_address("2001:db8::17");
  found.kind = Kind::printer;
  CHECK(name_for(found) == "printer-2001-db8-17");
  found.rows.push_back({1, "Tarnwick M210", "", "TW210-1", true});
  CHECK(name_for(found) == "m210-tw210-1");
}

TEST_CASE("whatever a device calls itself, the name is one that the configuration takes") {
  for (const std::string& text :
       {std::string("."), std::string(".."), std::string("../../etc/passwd"), std::string("K\xC3\xBChlraum"),
        std::string("\xE5\xB0\x8F"), std::string("\"]\n[[hook]]"), std::string("$(reboot)"), std::string(255, 'a'),
        std::string(255, '.'), std::string("-.-"), std::string("_"), std::string("\0x", 2),
        std::string(63, 'a') + "  b"}) {
    INFO(text);
    const auto name = name_from(text);
    CHECK((name.empty() || config::is_name(name)));
    CHECK(config::is_name(name_for(printer(text, text, text, text))));
  }
  CHECK(name_from("K\xC3\xBChlraum") == "k-hlraum");
  CHECK(name_from("..") == "");
}

TEST_CASE("a name is given once, and never one that the configuration has") {
  UniqueNames names;
  names.reserve("copier");
  names.reserve("copier-3");
  CHECK(names.unique("copier") == "copier-2");
  CHECK(names.unique("copier") == "copier-4");
  CHECK(names.unique("labels") == "labels");
  const std::string longest(64, 'a');
  CHECK(names.unique(longest) == longest);
  CHECK(names.unique(longest) == std::string(62, 'a') + "-2");
  CHECK(config::is_name(names.unique(longest)));
}

}  // namespace
}  // namespace frisket::discovery
