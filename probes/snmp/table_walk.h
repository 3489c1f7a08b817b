// Reads one table: what to ask next, given what was answered so far.
//
// All columns go side by side in one GETBULK (GETNEXT for SNMPv1), each with a cursor of its
// own, since an agent may cut an answer anywhere. Rows are put together by index. An agent
// can neither make it run for ever nor fill memory: a column ends at the first object that
// is outside of it or not after its cursor, at the row limit, and when an answer brings
// nothing new. Pure: no network, no clock; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "probes/snmp/pdu.h"
#include "probes/snmp/printer_mib.h"

namespace frisket::snmp {

// Cells are in the order of the table's columns; Null where the agent had none.
struct Row {
  std::int32_t index = 0;
  std::vector<Value> cells;
};

struct TableRows {
  std::vector<Row> rows;  // in order of index
  // Nothing that could have been read is missing: what the agent itself left out, cut or
  // broke is in `notes`, and asking again would not help.
  bool complete = false;
  // The agent answered, but ended every column otherwise than by its last row, or gave nothing but
  // rows that cannot be used. Readable is then less than there is.
  bool broken = false;
  std::vector<std::string> notes;  // "supplies: more than 128 rows, the rest left out"
};

// What the last walk of the same table learnt, so that this one can ask for just enough.
struct TableMemory {
  std::uint16_t rows = 0;
  std::uint16_t octets_per_row = 0;  // 0: not yet known
  // Columns, by bit, of which no row had a cell though there were rows: they are not asked for again.
  std::uint32_t lacking = 0;
};

class TableWalk {
 public:
  // Answers above this are likely to be cut or fragmented: agents commonly cap them at
  // the Ethernet MTU (common practice, no source).
  static constexpr std::size_t kAnswerOctets = 1400;

  // `table` is a constant and outlives the walk. `device_index` counts only where it is part of
  // the table's index.
  TableWalk(const mib::Table& table, std::uint32_t device_index, Operation operation, TableMemory memory);

  // The next request, or nothing when the walk has ended.
  std::optional<Request> next();

  // The answer to the last request. An error status ends only what it is about.
  void feed(const Response& response);

  // The rest cannot be read now (silence, no time left): what is there is not complete.
  void interrupt(std::string_view why);

  // For the next walk of this table; ask before take().
  TableMemory memory() const;
  TableRows take() &&;

 private:
  struct Cursor {
    Oid at;  // the last object seen, at first the column itself
    std::size_t seen = 0;
    bool done = false;
    bool failed = false;  // ended by something other than its last row
  };

  std::int32_t repetitions() const;
  void feed_error(const Response& response);
  void feed_variable(std::size_t column, const VarBind& variable);
  void end_column(std::size_t column, std::string_view why);
  void end_at_limit(std::size_t column);
  Row* row_at(std::uint32_t index);
  void note(std::string text);
  bool is_broken() const;

  const mib::Table& table_;
  Operation operation_;
  TableMemory memory_;
  std::size_t prefix_length_ = 0;  // of a column's object id with the device index
  std::vector<Cursor> cursors_;
  std::vector<std::size_t> asked_;  // columns of the last request, in its order
  std::int32_t at_most_ = 0;        // repetitions, after tooBig; 0: not limited
  std::size_t columns_ = 0;         // that are asked for at all
  bool moved_ = false;              // the answer under way brought something
  bool interrupted_ = false;
  TableRows result_;
};

}  // namespace frisket::snmp
