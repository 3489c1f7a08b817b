#include "probes/snmp/printer_mib.h"

#include <catch2/catch.hpp>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <utility>

namespace frisket::snmp {
namespace {

// name -> oid of tests/facts/printer-mib-objects.tsv (RFC 3805, RFC 2790, RFC 3418, by a MIB parser).
std::map<std::string, std::string> facts() {
  std::ifstream file(std::string(FRISKET_TESTS_DIR) + "/facts/printer-mib-objects.tsv");
  REQUIRE(file);
  std::map<std::string, std::string> found;
  std::string line;
  bool in_header = true;
  while (std::getline(file, line)) {
    if (line.starts_with('#') || std::exchange(in_header, false)) continue;
    std::istringstream fields(line);
    std::string name;
    std::string oid;
    std::getline(fields, name, '\t');
    std::getline(fields, oid, '\t');
    found.emplace(name, oid);
  }
  return found;
}

}  // namespace

TEST_CASE("every object id is the one that the standards' MIB modules give") {
  auto expected = facts();
  std::size_t objects = 0;
  const auto check = [&](const mib::Object& object) {
    CAPTURE(object.name);
    ++objects;
    CHECK(to_text(object.oid()) == expected[std::string(object.name)]);
  };
  for (const auto& scalar : mib::scalars) check(scalar.object);
  for (const auto& table : mib::tables) {
    for (const auto& column : table.columns) check(column);
  }
  check(mib::hr_device_printer);
  check(mib::hr_device_type);
  CHECK(objects == 98);
  CHECK(expected.size() == objects);  // no fact is left without an object
}

TEST_CASE("the columns of one table lie under one table entry and in its order") {
  for (const auto& table : mib::tables) {
    CAPTURE(table.name);
    const auto entry = table.columns.front().oid().first(table.columns.front().length - 1);
    for (const auto& column : table.columns) CHECK(starts_with(column.oid(), entry));
    CHECK(table.max_rows <= 128);
  }
}

}  // namespace frisket::snmp
