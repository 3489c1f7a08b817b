#include "probes/snmp/table_walk.h"

#include <algorithm>
#include <limits>
#include <utility>

namespace frisket::snmp {
namespace {

// One cell on the wire before anything has been measured: object id, tags, a small value.
constexpr std::size_t kGuessedCellOctets = 30;
// Message header, community and request id.
constexpr std::size_t kHeaderOctets = 60;
constexpr std::int32_t kMostRepetitions = 64;
constexpr std::size_t kMostNotes = 8;

}  // namespace

TableWalk::TableWalk(const mib::Table& table, std::uint32_t device_index, Operation operation, TableMemory memory)
    : table_(table), operation_(operation), memory_(memory) {
  cursors_.reserve(table.columns.size());
  for (const auto& column : table.columns) {
    Oid start(column.oid());
    if (table.indexing == mib::Indexing::device_and_row) start.append(device_index);
    prefix_length_ = start.size();
    const bool lacking = (memory_.lacking >> cursors_.size() & 1U) != 0;
    if (!lacking) ++columns_;
    cursors_.push_back({std::move(start), 0, lacking, false});
  }
}

std::optional<Request> TableWalk::next() {
  Request request;
  request.operation = operation_;
  asked_.clear();
  if (interrupted_) return std::nullopt;
  for (std::size_t column = 0; column < cursors_.size(); ++column) {
    if (cursors_[column].done) continue;
    asked_.push_back(column);
    request.names.push_back(cursors_[column].at);
  }
  if (asked_.empty()) return std::nullopt;
  if (operation_ == Operation::get_bulk) request.max_repetitions = repetitions();
  return request;
}

// As many rows as fit one answer, but no more than there were last time and one, which
// is the one that shows the table's end.
std::int32_t TableWalk::repetitions() const {
  const std::size_t measured = memory_.octets_per_row;
  const std::size_t row = measured != 0 ? measured : kGuessedCellOctets * asked_.size();
  auto count = static_cast<std::int32_t>((kAnswerOctets - kHeaderOctets) / std::max<std::size_t>(row, 1));
  const auto have = static_cast<std::int32_t>(result_.rows.size());
  const auto expected = std::int32_t{memory_.rows};
  if (measured != 0 && expected >= have) count = std::min(count, expected - have + 1);
  if (at_most_ != 0) count = std::min(count, at_most_);
  return std::clamp(count, 1, kMostRepetitions);
}

void TableWalk::feed(const Response& response) {
  if (response.error_status != ErrorStatus::no_error) return feed_error(response);
  moved_ = false;
  for (std::size_t i = 0; i < response.variables.size(); ++i) {
    feed_variable(asked_[i % asked_.size()], response.variables[i]);
  }
  if (!moved_) {
    for (const auto column : asked_) end_column(column, "an answer without anything new");
  }
  const auto full_rows = response.variables.size() / asked_.size();
  if (full_rows > 0 && asked_.size() == columns_) {
    memory_.octets_per_row = static_cast<std::uint16_t>(
        std::min<std::size_t>(response.octets / full_rows, std::numeric_limits<std::uint16_t>::max()));
  }
}

void TableWalk::feed_error(const Response& response) {
  const auto index = static_cast<std::size_t>(response.error_index);
  switch (response.error_status) {
    case ErrorStatus::too_big:
      if (operation_ == Operation::get_bulk && at_most_ != 1) {
        at_most_ = std::max(repetitions() / 2, 1);
        return;
      }
      break;
    case ErrorStatus::no_such_name:  // SNMPv1's way of saying that nothing comes after this one
      if (response.error_index > 0 && index <= asked_.size()) {
        cursors_[asked_[index - 1]].done = true;
        return;
      }
      break;
    default:
      // One bad column does not lose the rest, where the agent says which it is. In a GETBULK
      // answer the index may count repetitions too.
      if (response.error_index > 0) {
        end_column(asked_[(index - 1) % asked_.size()], to_text(response.error_status));
        return;
      }
  }
  for (const auto column : asked_) end_column(column, to_text(response.error_status));
}

void TableWalk::feed_variable(std::size_t column, const VarBind& variable) {
  auto& cursor = cursors_[column];
  if (cursor.done) return;
  const auto name = variable.name.view();
  const auto prefix = cursor.at.view().first(prefix_length_);
  if (std::holds_alternative<EndOfMibView>(variable.value) || !starts_with(name, prefix)) {
    cursor.done = true;
    moved_ = true;
    return;
  }
  if (compare(name, cursor.at) <= 0) return end_column(column, "object ids do not increase");
  cursor.at = variable.name;
  moved_ = true;
  if (++cursor.seen > table_.max_rows) return end_at_limit(column);
  if (name.size() != prefix_length_ + 1 || name.back() > std::numeric_limits<std::int32_t>::max()) {
    return note("a row whose index is not one number was left out");
  }
  if (!present(variable.value)) {  // no agent may answer a walk so: the row may well be there
    cursor.failed = true;
    return note(std::string(table_.columns[column].name) + ": an answer without a value");
  }
  auto* row = row_at(name.back());
  if (row == nullptr) return end_at_limit(column);
  row->cells[column] = variable.value;
}

void TableWalk::end_column(std::size_t column, std::string_view why) {
  auto& cursor = cursors_[column];
  if (std::exchange(cursor.done, true)) return;
  cursor.failed = true;
  note(std::string(table_.columns[column].name) + ": " + std::string(why));
}

void TableWalk::end_at_limit(std::size_t column) {
  cursors_[column].done = true;
  note("more than " + std::to_string(table_.max_rows) + " rows, the rest left out");
}

// The row with this index, made if need be; null when the table is full.
Row* TableWalk::row_at(std::uint32_t index) {
  const auto wanted = static_cast<std::int32_t>(index);
  auto& rows = result_.rows;
  const auto at = !rows.empty() && rows.back().index < wanted ? rows.end()
                                                              : std::ranges::lower_bound(rows, wanted, {}, &Row::index);
  if (at != rows.end() && at->index == wanted) return &*at;
  if (rows.size() >= table_.max_rows) return nullptr;
  return &*rows.insert(at, Row{wanted, std::vector<Value>(table_.columns.size())});
}

void TableWalk::note(std::string text) {
  text = std::string(table_.name) + ": " + text;
  auto& notes = result_.notes;
  if (notes.size() < kMostNotes && std::ranges::find(notes, text) == notes.end()) notes.push_back(std::move(text));
}

void TableWalk::interrupt(std::string_view why) {
  interrupted_ = true;
  note(std::string(why));
}

TableMemory TableWalk::memory() const {
  auto memory = memory_;
  memory.rows =
      static_cast<std::uint16_t>(std::min<std::size_t>(result_.rows.size(), std::numeric_limits<std::uint16_t>::max()));
  if (!interrupted_ && !result_.rows.empty())
    for (std::size_t column = 0; column < cursors_.size(); ++column)
      if (cursors_[column].done && !cursors_[column].failed && cursors_[column].seen == 0)
        memory.lacking |= 1U << column;
  return memory;
}

bool TableWalk::is_broken() const {
  if (interrupted_) return false;
  if (result_.rows.empty() && !result_.notes.empty()) return true;
  for (std::size_t column = 0; column < cursors_.size(); ++column)
    if ((memory_.lacking >> column & 1U) == 0 && !cursors_[column].failed) return false;
  return columns_ > 0;
}

TableRows TableWalk::take() && {
  result_.broken = is_broken();
  result_.complete = !interrupted_ && std::ranges::all_of(cursors_, &Cursor::done);
  return std::move(result_);
}

}  // namespace frisket::snmp
