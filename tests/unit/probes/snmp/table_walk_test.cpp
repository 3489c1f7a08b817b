#include "probes/snmp/table_walk.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <functional>
#include <map>

namespace frisket::snmp {
namespace {

// An agent's objects in order, answering GETBULK as RFC 3416 section 4.2.3 has it.
class Rows {
 public:
  void set(const Oid& name, Value value) {
    const auto at = std::ranges::lower_bound(
        cells_, name, [](const Oid& a, const Oid& b) { return compare(a, b) < 0; }, &VarBind::name);
    cells_.insert(at, {name, std::move(value)});
  }

  // A cell of the covers table of device 1.
  void cover(std::uint32_t row, const char* description, std::int32_t status) {
    set(Oid(mib::cover::columns[0].oid()).append(1).append(row), Octets{description});
    set(Oid(mib::cover::columns[1].oid()).append(1).append(row), Integer{status});
  }

  // At most `limit` variables, as agents that cap their answers do.
  Response answer(const Request& request, std::size_t limit = 1000) const {
    Response response;
    auto names = request.names;
    const auto repetitions = request.operation == Operation::get_bulk ? request.max_repetitions : 1;
    for (std::int32_t i = 0; i < repetitions; ++i) {
      for (auto& name : names) {
        if (response.variables.size() == limit) return response;
        const auto next = std::ranges::upper_bound(
            cells_, name, [](const Oid& a, const Oid& b) { return compare(a, b) < 0; }, &VarBind::name);
        if (next == cells_.end()) {
          response.variables.push_back({name, EndOfMibView{}});
        } else {
          response.variables.push_back(*next);
          name = next->name;
        }
      }
    }
    response.octets = 60 + response.variables.size() * 30;
    return response;
  }

 private:
  std::vector<VarBind> cells_;
};

const mib::Table& covers() { return mib::table(mib::TableId::covers); }

struct Walked {
  TableRows rows;
  TableMemory memory;
  int round_trips = 0;
};

using Answer = std::function<Response(const Request&)>;

Walked walk(const mib::Table& table, const Answer& answer, TableMemory memory = {},
            Operation operation = Operation::get_bulk) {
  TableWalk walking(table, 1, operation, memory);
  Walked walked;
  while (const auto request = walking.next()) {
    ++walked.round_trips;
    REQUIRE(walked.round_trips < 1000);  // the walk's own bounds must end it
    walking.feed(answer(*request));
  }
  walked.memory = walking.memory();
  walked.rows = std::move(walking).take();
  return walked;
}

Walked walk(const Rows& rows, std::size_t limit = 1000, TableMemory memory = {}) {
  return walk(
      covers(), [&](const Request& request) { return rows.answer(request, limit); }, memory);
}

Rows three_covers() {
  Rows rows;
  rows.cover(1, "Front door", 4);
  rows.cover(2, "Rear door", 3);
  rows.cover(7, "Duplexer", 4);
  return rows;
}

void check_three_covers(const TableRows& read) {
  CHECK(read.complete);
  CHECK(read.notes.empty());
  REQUIRE(read.rows.size() == 3);
  CHECK(read.rows[0].index == 1);
  CHECK(read.rows[2].index == 7);
  CHECK(std::get<Octets>(read.rows[1].cells[0]).value == "Rear door");
  CHECK(std::get<Integer>(read.rows[1].cells[1]).value == 3);
}

}  // namespace

TEST_CASE("the columns of a table are read side by side in one round trip") {
  const auto walked = walk(three_covers());
  check_three_covers(walked.rows);
  CHECK(walked.round_trips == 1);
}

TEST_CASE("the next walk asks for as many rows as there were, and one to see the end") {
  const auto rows = three_covers();
  const auto first = walk(rows);
  CHECK(first.memory.rows == 3);
  TableWalk again(covers(), 1, Operation::get_bulk, first.memory);
  CHECK(again.next()->max_repetitions == 4);
}

TEST_CASE("an answer cut anywhere is gone on with from each column's own place") {
  for (std::size_t limit = 1; limit <= 9; ++limit) {
    CAPTURE(limit);
    check_three_covers(walk(three_covers(), limit).rows);
  }
}

TEST_CASE("the rows asked for fit in one frame by what rows measured last time") {
  TableWalk walking(mib::table(mib::TableId::supplies), 1, Operation::get_bulk, {100, 320});
  CHECK(walking.next()->max_repetitions == 4);  // (1400 - 60) / 320
  TableWalk wide(mib::table(mib::TableId::supplies), 1, Operation::get_bulk, {100, 5000});
  CHECK(wide.next()->max_repetitions == 1);
}

TEST_CASE("SNMPv1 reads the same rows with GETNEXT, where noSuchName says that nothing follows") {
  const auto rows = three_covers();
  const auto answer = [&](const Request& request) {
    CHECK(request.operation == Operation::get_next);
    auto response = rows.answer(request);
    const auto past_end = std::ranges::find_if(response.variables, [](const VarBind& variable) {
      return std::holds_alternative<EndOfMibView>(variable.value);
    });
    if (past_end != response.variables.end()) {
      response.error_status = ErrorStatus::no_such_name;
      response.error_index = static_cast<std::int32_t>(past_end - response.variables.begin()) + 1;
    }
    return response;
  };
  const auto walked = walk(covers(), answer, {}, Operation::get_next);
  check_three_covers(walked.rows);
}

TEST_CASE("rows of another device of the same agent are outside of the subtree") {
  auto rows = three_covers();
  rows.set(Oid(mib::cover::columns[1].oid()).append(2).append(1), Integer{3});
  check_three_covers(walk(rows).rows);
}

TEST_CASE("a table that is not there is complete and empty after one round trip") {
  Rows rows;
  rows.set({1, 3, 6, 1, 2, 1, 43, 99}, Integer{1});
  const auto walked = walk(rows);
  CHECK(walked.round_trips == 1);
  CHECK(walked.rows.complete);
  CHECK(walked.rows.rows.empty());
  CHECK(walked.rows.notes.empty());
}

TEST_CASE("an agent whose object ids do not increase is read no further and said so") {
  const Oid stuck = Oid(mib::cover::columns[1].oid()).append(1).append(5);
  const auto walked = walk(covers(), [&](const Request& request) {
    Response response;
    for (std::size_t i = 0; i < request.names.size(); ++i) response.variables.push_back({stuck, Integer{3}});
    return response;
  });
  CHECK(walked.round_trips == 2);
  REQUIRE(walked.rows.notes.size() == 1);
  CHECK(walked.rows.notes[0] == "covers: prtCoverStatus: object ids do not increase");
}

TEST_CASE("a walk of which no column came to its last row is broken, with rows or without") {
  const auto rows = three_covers();
  CHECK_FALSE(walk(rows).rows.broken);
  const auto failing_after = [&](int good, std::size_t columns) {
    int asked = 0;
    return walk(covers(),
                [&, good, columns](const Request& request) {
                  if (++asked <= good) return rows.answer(request, 2);
                  if (columns == 1 && asked > good + 1) return rows.answer(request);
                  Response response;
                  response.error_status = ErrorStatus::gen_err;
                  response.error_index = 1;
                  return response;
                })
        .rows;
  };
  CHECK(failing_after(0, 2).broken);
  CHECK(failing_after(1, 2).broken);
  CHECK(failing_after(1, 2).rows.size() == 1);
  const auto one_column = failing_after(0, 1);
  CHECK_FALSE(one_column.broken);
  CHECK(one_column.rows.size() == 3);
}

TEST_CASE("a walk that brought nothing but rows with unusable numbers is broken") {
  Rows rows;
  rows.set(Oid(mib::cover::columns[1].oid()).append(1).append(1).append(1), Integer{3});
  rows.set(Oid(mib::cover::columns[1].oid()).append(1).append(4294000001), Integer{3});
  const auto walked = walk(rows);
  CHECK(walked.rows.rows.empty());
  CHECK(walked.rows.broken);
}

// RFC 3416 section 3: a value is unSpecified (NULL) in requests only.
TEST_CASE("a walk that was answered without values is broken, not a table without rows") {
  const auto column = [](std::size_t at) { return Oid(mib::cover::columns[at].oid()).append(1); };
  auto rows = three_covers();
  rows.set(column(0).append(9), Null{});
  const auto one = walk(rows);
  CHECK_FALSE(one.rows.broken);
  CHECK(one.rows.rows.size() == 3);
  REQUIRE(one.rows.notes.size() == 1);
  CHECK(one.rows.notes[0] == "covers: prtCoverDescription: an answer without a value");

  Rows without;
  for (const std::size_t at : {0, 1})
    for (const std::uint32_t row : {1, 2}) without.set(column(at).append(row), Null{});
  const auto all = walk(without);
  CHECK(all.rows.broken);
  CHECK(all.rows.rows.empty());
}

TEST_CASE("an endless table ends at the row limit and says what was left out") {
  std::uint32_t row = 0;
  const auto walked = walk(covers(), [&](const Request& request) {
    Response response;
    for (std::int32_t i = 0; i < request.max_repetitions; ++i) {
      ++row;
      for (const auto& column : mib::cover::columns) {
        response.variables.push_back({Oid(column.oid()).append(1).append(row), Integer{3}});
      }
    }
    return response;
  });
  CHECK(walked.rows.rows.size() == 128);
  CHECK(walked.rows.complete);
  REQUIRE(walked.rows.notes.size() == 1);
  CHECK(walked.rows.notes[0] == "covers: more than 128 rows, the rest left out");
}

TEST_CASE("an endless table of values that make no rows ends too") {
  std::uint32_t row = 0;
  const auto kind = GENERATE(0, 1);  // NULL with noError, or an index of two numbers
  const auto walked = walk(covers(), [&](const Request&) {
    Response response;
    ++row;
    for (const auto& column : mib::cover::columns) {
      Oid name = Oid(column.oid()).append(1).append(row);
      if (kind == 1) name.append(1);
      response.variables.push_back({name, kind == 0 ? Value(Null{}) : Value(Integer{3})});
    }
    return response;
  });
  CHECK(walked.round_trips <= 130);
  CHECK(walked.rows.rows.empty());
}

TEST_CASE("a column that the agent cannot read does not lose the others") {
  const auto rows = three_covers();
  const auto walked = walk(covers(), [&](const Request& request) {
    if (request.names.size() == 1) return rows.answer(request);
    Response response;
    response.error_status = ErrorStatus::gen_err;
    response.error_index = 1;
    return response;
  });
  REQUIRE(walked.rows.rows.size() == 3);
  CHECK_FALSE(present(walked.rows.rows[0].cells[0]));
  CHECK(present(walked.rows.rows[0].cells[1]));
  REQUIRE(walked.rows.notes.size() == 1);
  CHECK(walked.rows.notes[0] == "covers: prtCoverDescription: genErr");
}

TEST_CASE("tooBig asks for fewer rows at once, and gives up at one") {
  const auto rows = three_covers();
  std::vector<std::int32_t> asked;
  const auto walked = walk(covers(), [&](const Request& request) {
    asked.push_back(request.max_repetitions);
    Response response;
    response.error_status = ErrorStatus::too_big;
    return request.max_repetitions > 3 ? response : rows.answer(request);
  });
  CHECK(asked[0] == 22);  // (1400 - 60) / (2 columns of 30 octets)
  CHECK(asked[1] == 11);
  CHECK(asked[2] == 5);
  CHECK(asked[3] == 2);
  check_three_covers(walked.rows);

  const auto never = walk(covers(), [&](const Request&) {
    Response response;
    response.error_status = ErrorStatus::too_big;
    return response;
  });
  CHECK(never.round_trips == 5);  // 22, 11, 5, 2, 1, and no more
  CHECK(never.rows.rows.empty());
}

TEST_CASE("an answer without variables ends the walk") {
  const auto walked = walk(covers(), [](const Request&) { return Response{}; });
  CHECK(walked.round_trips == 1);
  CHECK(walked.rows.notes.size() == 2);
}

TEST_CASE("a walk that silence interrupts is not complete") {
  const auto rows = three_covers();
  TableWalk walking(covers(), 1, Operation::get_bulk, {});
  walking.feed(rows.answer(*walking.next(), 2));
  walking.interrupt("no answer in 3 attempts");
  CHECK_FALSE(walking.next());
  const auto read = std::move(walking).take();
  CHECK_FALSE(read.complete);
  CHECK(read.rows.size() == 1);
  CHECK(read.notes == std::vector<std::string>{"covers: no answer in 3 attempts"});
}

TEST_CASE("indices that arrive out of step still make rows in order") {
  Rows rows;
  // Column 1 has rows 1 and 3, column 2 rows 2 and 3.
  rows.set(Oid(mib::cover::columns[0].oid()).append(1).append(1), Octets{"Front"});
  rows.set(Oid(mib::cover::columns[0].oid()).append(1).append(3), Octets{"Rear"});
  rows.set(Oid(mib::cover::columns[1].oid()).append(1).append(2), Integer{3});
  rows.set(Oid(mib::cover::columns[1].oid()).append(1).append(3), Integer{4});
  const auto walked = walk(rows);
  REQUIRE(walked.rows.rows.size() == 3);
  for (std::int32_t i = 0; i < 3; ++i) CHECK(walked.rows.rows[static_cast<std::size_t>(i)].index == i + 1);
  CHECK_FALSE(present(walked.rows.rows[0].cells[1]));
  CHECK_FALSE(present(walked.rows.rows[1].cells[0]));
}

}  // namespace frisket::snmp
