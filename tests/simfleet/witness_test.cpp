// The running program against net-snmp's command line tools, which nobody here wrote.
#include <signal.h>
#include <unistd.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

#include "tests/simfleet/ber.h"
#include "tests/simfleet/process.h"

using namespace frisket::simfleet;

namespace {

// One line of what the tools print: ".1.3.6... = INTEGER: 5".
struct Printed {
  Oid oid;
  std::string type;
  std::string value;
};

std::vector<std::string> lines(const std::string& text) {
  std::vector<std::string> all;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) {
    // Long hexadecimal values are broken into several lines.
    if (line.starts_with('.') || all.empty()) {
      all.push_back(line);
    } else {
      all.back() += line;
    }
  }
  return all;
}

Printed printed(const std::string& line) {
  const auto equals = line.find(" = ");
  REQUIRE(equals != std::string::npos);
  Printed one;
  one.oid = ber::parse_oid(line.substr(0, equals)).value();
  const std::string rest = line.substr(equals + 3);
  const auto colon = rest.find(": ");
  one.type = rest == "\"\"" ? "STRING" : rest.substr(0, colon);
  one.value = colon == std::string::npos ? "" : rest.substr(colon + 2);
  // "Timeticks: (100) 0:00:01.00"
  if (one.type == "Timeticks") one.value = one.value.substr(1, one.value.find(')') - 1);
  return one;
}

class Witness {
 public:
  Witness()
      : fleet_(FRISKET_SIMFLEET,
               {"--fleet", FRISKET_TESTS_DIR "/simfleet/fleets/garden.toml", "--port", "0", "--manual-time"}) {
    setenv("SNMPCONFPATH", "/nonexistent", 1);
    setenv("SNMP_PERSISTENT_DIR", std::filesystem::temp_directory_path().c_str(), 1);
  }

  std::string address(const std::string& device) { return fleet_.say(device + " address").substr(3); }

  std::string run(const std::string& tool, const std::string& device, std::vector<std::string> options,
                  const std::vector<std::string>& oids, const std::string& version = "-v2c") {
    // No MIB files, numbers only, no retries: what the agent said and nothing else.
    std::vector<std::string> command{tool, version, "-c", "fern-and-moss", "-m", "", "-On", "-Oe", "-r",
                                     "1",  "-t",    "5"};
    command.insert(command.end(), options.begin(), options.end());
    command.push_back(address(device) + ":" + std::to_string(fleet_.port()));
    command.insert(command.end(), oids.begin(), oids.end());
    try {
      return output_of(command);
    } catch (const std::exception& error) {
      FAIL("net-snmp's " << tool << " (Debian package snmp) is needed here: " << error.what());
    }
    return {};
  }

  std::vector<Printed> bulkwalk(const std::string& device, const std::string& under = "1.3", int repetitions = 10) {
    std::vector<Printed> all;
    for (const auto& line : lines(run("snmpbulkwalk", device, {"-Cr" + std::to_string(repetitions)}, {under}))) {
      if (line.find("No more variables left") == std::string::npos) all.push_back(printed(line));
    }
    return all;
  }

  std::string get(const std::string& device, const std::string& oid) {
    const auto one = printed(lines(run("snmpget", device, {}, {oid})).at(0));
    return one.type + " " + one.value;
  }

  FleetProcess& fleet() { return fleet_; }

 private:
  FleetProcess fleet_;
};

struct Fact {
  std::string name;
  std::string syntax;
};

// facts/objects.tsv by OID.
std::map<Oid, Fact> facts() {
  std::map<Oid, Fact> all;
  std::ifstream in(FRISKET_TESTS_DIR "/simfleet/facts/objects.tsv");
  for (std::string line; std::getline(in, line);) {
    if (line.starts_with('#') || line.starts_with("name\t")) continue;
    std::istringstream fields(line);
    std::string name, oid, kind, syntax;
    std::getline(fields, name, '\t');
    std::getline(fields, oid, '\t');
    std::getline(fields, kind, '\t');
    std::getline(fields, syntax, '\t');
    all[ber::parse_oid(oid).value()] = {name, syntax};
  }
  return all;
}

// What the tools call the base type of a syntax (RFC 2578 section 7).
std::string base_type(const std::string& syntax) {
  if (syntax == "Counter32") return "Counter32";
  if (syntax == "Gauge32") return "Gauge32";
  if (syntax.starts_with("Time")) return "Timeticks";
  if (syntax == "OBJECT IDENTIFIER" || syntax == "ObjectIdentifier" || syntax == "ProductID" ||
      syntax == "AutonomousType")
    return "OID";
  for (const char* text :
       {"OCTET", "OctetString", "DisplayString", "SnmpAdminString", "PrtLocalized", "PrtConsoleDesc", "PhysAddress"}) {
    if (syntax.starts_with(text)) return "STRING";
  }
  return "INTEGER";
}

}  // namespace

TEST_CASE("snmpbulkwalk prints of a copier what its description says") {
  Witness witness;
  std::map<std::string, std::string> said;
  for (const auto& one : witness.bulkwalk("herbarium-copier")) said[ber::to_text(one.oid)] = one.type + " " + one.value;
  // Values from models/lumenveld-c55.toml and fleets/garden.toml; columns from RFC 3805, RFC 2790, RFC 3418.
  const std::map<std::string, std::string> expected{
      {"1.3.6.1.2.1.1.1.0", "STRING \"Lumenveld Chroma C55, firmware 7.3.1\""},
      {"1.3.6.1.2.1.1.2.0", "OID .1.3.6.1.4.1.32473.33.55"},
      {"1.3.6.1.2.1.1.5.0", "STRING \"herbarium-copier\""},
      {"1.3.6.1.2.1.1.6.0", "STRING \"Herbarium, first floor, mounting room\""},
      {"1.3.6.1.2.1.25.3.2.1.2.1", "OID .1.3.6.1.2.1.25.3.1.5"},
      {"1.3.6.1.2.1.25.3.2.1.5.1", "INTEGER 3"},
      {"1.3.6.1.2.1.25.3.5.1.1.1", "INTEGER 4"},
      {"1.3.6.1.2.1.43.5.1.1.17.1", "STRING \"LV55-018842\""},
      {"1.3.6.1.2.1.43.7.1.1.4.1.1", "INTEGER 106"},
      {"1.3.6.1.2.1.43.6.1.1.2.1.3", "STRING \"Waste Toner Door\""},
      {"1.3.6.1.2.1.43.6.1.1.3.1.3", "INTEGER 6"},
      {"1.3.6.1.2.1.43.8.2.1.9.1.3", "INTEGER 1100"},
      {"1.3.6.1.2.1.43.8.2.1.10.1.1", "INTEGER 310"},
      {"1.3.6.1.2.1.43.8.2.1.10.1.2", "INTEGER 0"},
      {"1.3.6.1.2.1.43.8.2.1.12.1.3", "STRING \"iso_a3_297x420mm\""},
      {"1.3.6.1.2.1.43.8.2.1.2.1.5", "INTEGER 5"},
      {"1.3.6.1.2.1.43.9.2.1.2.1.2", "INTEGER 3"},
      {"1.3.6.1.2.1.43.10.2.1.2.1.1", "INTEGER 4"},
      {"1.3.6.1.2.1.43.10.2.1.4.1.1", "Counter32 184220"},
      {"1.3.6.1.2.1.43.10.2.1.6.1.1", "INTEGER 4"},
      {"1.3.6.1.2.1.43.11.1.1.3.1.2", "INTEGER 2"},
      {"1.3.6.1.2.1.43.11.1.1.4.1.5", "INTEGER 4"},
      {"1.3.6.1.2.1.43.11.1.1.5.1.1", "INTEGER 21"},
      {"1.3.6.1.2.1.43.11.1.1.7.1.1", "INTEGER 13"},
      {"1.3.6.1.2.1.43.11.1.1.8.1.1", "INTEGER 10000"},
      {"1.3.6.1.2.1.43.11.1.1.9.1.1", "INTEGER 6200"},
      {"1.3.6.1.2.1.43.11.1.1.9.1.5", "INTEGER 7"},
      {"1.3.6.1.2.1.43.12.1.1.4.1.4", "STRING \"yellow\""},
      {"1.3.6.1.2.1.43.13.4.1.9.1.2", "INTEGER 3"},
      {"1.3.6.1.2.1.43.14.1.1.2.1.1", "INTEGER 44"},
      {"1.3.6.1.2.1.43.15.1.1.2.1.3", "INTEGER 54"},
      {"1.3.6.1.2.1.43.16.5.1.2.1.1", "STRING \"Printing\""},
      {"1.3.6.1.2.1.43.18.1.1.7.1.1", "INTEGER 1107"},
      {"1.3.6.1.2.1.43.18.1.1.7.1.2", "INTEGER 808"},
      {"1.3.6.1.4.1.2699.1.2.1.2.1.1.3.1", "STRING \"MFG:Lumenveld;MDL:Chroma C55;SN:LV55-018842;\""},
  };
  for (const auto& [oid, value] : expected) {
    INFO(oid);
    CHECK(said[oid] == value);
  }
}

TEST_CASE("every object that any garden printer answers with is a standard one, of its standard type") {
  Witness witness;
  const auto known = facts();
  REQUIRE(known.size() > 200);
  witness.fleet().say("directors-office on");
  std::istringstream names(witness.fleet().say("devices").substr(3));
  int checked = 0;
  for (std::string name; names >> name;) {
    for (const auto& one : witness.bulkwalk(name)) {
      INFO(name << " " << ber::to_text(one.oid));
      auto above = known.upper_bound(one.oid);
      REQUIRE(above != known.begin());
      const auto& [object, fact] = *std::prev(above);
      REQUIRE(one.oid.size() > object.size());
      REQUIRE(std::equal(object.begin(), object.end(), one.oid.begin()));
      INFO(fact.name);
      const std::string type = one.type == "Hex-STRING" ? "STRING" : one.type;
      CHECK(type == base_type(fact.syntax));
      ++checked;
    }
  }
  CHECK(checked > 3000);
}

TEST_CASE("walks by GETNEXT and by GETBULK of any size see the same, in rising order, and GET agrees") {
  Witness witness;
  const auto walk = lines(witness.run("snmpwalk", "seed-bank-intake", {}, {"1.3.6.1.2.1.43"}));
  REQUIRE(walk.size() > 150);
  for (const int repetitions : {1, 7, 100}) {
    CHECK(lines(witness.run("snmpbulkwalk", "seed-bank-intake", {"-Cr" + std::to_string(repetitions)},
                            {"1.3.6.1.2.1.43"})) == walk);
  }
  CHECK(lines(witness.run("snmpwalk", "seed-bank-intake", {}, {"1.3.6.1.2.1.43"}, "-v1")) == walk);
  std::vector<std::string> oids;
  for (const auto& line : walk) oids.push_back(line.substr(1, line.find(' ') - 1));
  for (std::size_t i = 1; i < walk.size(); ++i) CHECK(ber::parse_oid(oids[i - 1]) < ber::parse_oid(oids[i]));
  for (std::size_t i = 0; i < walk.size(); i += 20) {
    const auto end = oids.begin() + static_cast<std::ptrdiff_t>(std::min(i + 20, oids.size()));
    const auto got =
        lines(witness.run("snmpget", "seed-bank-intake", {}, {oids.begin() + static_cast<std::ptrdiff_t>(i), end}));
    CHECK(got ==
          std::vector<std::string>(walk.begin() + static_cast<std::ptrdiff_t>(i), walk.begin() + (end - oids.begin())));
  }
}

TEST_CASE("snmpget and snmpgetnext name the exceptions") {
  Witness witness;
  CHECK(witness.run("snmpget", "library-desk", {}, {"1.3.6.1.2.1.43.5.1.1.18.1"}).find("No Such Object") !=
        std::string::npos);
  CHECK(witness.run("snmpget", "library-desk", {}, {"1.3.6.1.2.1.43.18.1.1.2.1.999"}).find("No Such Instance") !=
        std::string::npos);
  CHECK(witness.run("snmpgetnext", "library-desk", {}, {"1.3.6.1.2.1.43"}) ==
        ".1.3.6.1.2.1.43.5.1.1.1.1 = Counter32: 0\n");
  CHECK(witness.run("snmpgetnext", "library-desk", {}, {"2.1"}).find("No more variables left") != std::string::npos);
}

TEST_CASE("commands change what the tools read, at once and exactly") {
  Witness witness;
  auto& fleet = witness.fleet();
  const std::string status = "1.3.6.1.2.1.25.3.2.1.5.1";
  CHECK(witness.get("gardeners-lodge", status) == "INTEGER 3");  // its drum is near its end
  CHECK(fleet.say("gardeners-lodge jam 1") == "ok");
  CHECK(witness.get("gardeners-lodge", status) == "INTEGER 5");
  CHECK(witness.get("gardeners-lodge", "1.3.6.1.2.1.25.3.5.1.2.1") == "Hex-STRING 04 00 ");
  CHECK(witness.get("gardeners-lodge", "1.3.6.1.2.1.43.18.1.1.7.1.2") == "INTEGER 8");
  CHECK(fleet.say("gardeners-lodge unjam") == "ok");
  CHECK(witness.get("gardeners-lodge", status) == "INTEGER 3");
  CHECK(fleet.say("gardeners-lodge get " + status) == "ok 020103");
  CHECK(fleet.say("gardeners-lodge requests") == "ok 5");
  CHECK(fleet.say("nobody jam 1").starts_with("error"));
}

TEST_CASE("under manual time nothing moves until told, and then exactly so far") {
  Witness witness;
  auto& fleet = witness.fleet();
  const std::string uptime = "1.3.6.1.2.1.1.3.0";
  CHECK(witness.get("palm-house-office", uptime) == "Timeticks 8640000");
  CHECK(witness.get("palm-house-office", "1.3.6.1.2.1.43.6.1.1.3.1.1") == "INTEGER 4");
  CHECK(fleet.say("advance 2m30s") == "ok 150000ms");
  CHECK(witness.get("palm-house-office", "1.3.6.1.2.1.43.6.1.1.3.1.1") == "INTEGER 3");
  CHECK(witness.get("palm-house-office", uptime) == "Timeticks 8655000");
  CHECK(fleet.say("palm-house-office off") == "ok");
  CHECK(fleet.say("advance 10s") == "ok 160000ms");
  CHECK(fleet.say("palm-house-office on") == "ok");
  CHECK(fleet.say("advance 1s") == "ok 161000ms");
  CHECK(witness.get("palm-house-office", uptime) == "Timeticks 100");
}

TEST_CASE("who is off, asked by another community or not there gets nothing") {
  Witness witness;
  const auto silent = [&](const std::string& address, const std::string& community) {
    try {
      output_of({"snmpget", "-v2c", "-c", community, "-m", "", "-r", "0", "-t", "0.3",
                 address + ":" + std::to_string(witness.fleet().port()), "1.3.6.1.2.1.1.3.0"});
    } catch (const std::runtime_error&) {
      return true;
    }
    return false;
  };
  CHECK_FALSE(silent("127.20.1.11", "fern-and-moss"));
  CHECK(silent("127.20.1.11", "moss-and-fern"));
  CHECK(silent("127.20.1.71", "fern-and-moss"));  // the director's printer is off
  CHECK(silent("127.20.1.99", "fern-and-moss"));
  CHECK(witness.fleet().say("served") == "ok received=4 answered=1 malformed=0 wrongCommunity=1 notSent=0");
}

TEST_CASE("the program ends well by SIGTERM, by SIGINT, by its own command and by the end of its input") {
  const std::vector<std::string> options{"--count", "3", "--port", "0"};
  for (const int signal : {SIGTERM, SIGINT}) {
    FleetProcess fleet(FRISKET_SIMFLEET, options);
    CHECK(fleet.devices() == 3);
    CHECK(fleet.end_by(signal) == 0);
  }
  FleetProcess asked(FRISKET_SIMFLEET, options);
  CHECK(asked.say("quit") == "ok");
  CHECK(asked.close_input() == 0);
  FleetProcess ended(FRISKET_SIMFLEET, options);
  CHECK(ended.close_input() == 0);
}
