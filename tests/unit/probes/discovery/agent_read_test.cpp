#include "probes/discovery/agent_read.h"

#include <catch2/catch.hpp>

#include "probes/snmp/printer_mib.h"

namespace frisket::discovery {
namespace {

using Rows = std::vector<PrinterRow>;

PrinterRow host(std::uint32_t index, std::string description) { return {index, std::move(description), "", "", false}; }
PrinterRow printer(std::uint32_t index, std::string serial) { return {index, "", "", std::move(serial), true}; }

TEST_CASE("rows of the same index in both tables are one printer") {
  CHECK(join_rows({host(1, "Quillon A"), host(5, "Quillon B")}, {printer(1, "QA"), printer(5, "QB")}) ==
        Rows{{1, "Quillon A", "", "QA", true}, {5, "Quillon B", "", "QB", true}});
}

TEST_CASE("an agent that numbers its tables apart has one printer and not two") {
  CHECK(join_rows({host(3, "Quillon A")}, {printer(1, "QA")}) == Rows{{1, "Quillon A", "", "QA", true}});
}

TEST_CASE("a printer in one table only is a printer") {
  CHECK(join_rows({host(1, "Quillon A"), host(2, "Quillon B")}, {printer(2, "QB")}) ==
        Rows{{2, "Quillon B", "", "QB", true}, {1, "Quillon A", "", "", false}});
  CHECK(join_rows({}, {printer(1, "QA"), printer(2, "QB")}).size() == 2);
  CHECK(join_rows({}, {}).empty());
}

TEST_CASE("sysDescr is taken only from an answer that has it") {
  const auto question = first_question();
  CHECK(question.operation == snmp::Operation::get_next);
  snmp::Response answer;
  CHECK(description_in(answer).empty());
  answer.variables.push_back({snmp::Oid{1, 3, 6, 1, 2, 1, 1, 1, 0}, snmp::Octets{"Quillon\r\nswitch"}});
  CHECK(description_in(answer) == "Quillon switch");
  answer.variables[0].name = snmp::Oid{1, 3, 6, 1, 2, 1, 1, 5, 0};
  CHECK(description_in(answer).empty());
  answer.variables[0] = {snmp::Oid{1, 3, 6, 1, 2, 1, 1, 1, 0}, snmp::Integer{5}};
  CHECK(description_in(answer).empty());
}

}  // namespace
}  // namespace frisket::discovery
