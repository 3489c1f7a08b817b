#include "daemon/store/history_rows.h"

#include <map>
#include <utility>

#include "daemon/store/kept_history.h"
#include "daemon/upkeep/weeks.h"

namespace frisket::store {
namespace {

// Ten thousand devices come of age once a week; this is called once an hour.
constexpr int kThinnedAtOnce = 500;
constexpr std::int64_t kWeeks = upkeep::kLastWeek - upkeep::kFirstWeek + 1;

std::int64_t row_of(std::int64_t device, std::int64_t week) { return device * kWeeks + week - upkeep::kFirstWeek; }

std::string_view octets_in(const SQLite::Column& column) {
  return {static_cast<const char*>(column.getBlob()), static_cast<std::size_t>(column.getBytes())};
}

}  // namespace

void HistoryRows::write(std::span<const DeviceChanges> history) {
  std::map<std::pair<std::string_view, std::int64_t>, upkeep::Changes> weeks;
  for (const auto& [device, changes] : history)
    for (const auto& change : changes) weeks[{device, upkeep::week_of(change.at)}].push_back(change);
  for (auto& [place, changes] : weeks)
    write_week(number_of(std::string(place.first)), place.second, std::move(changes));
}

std::int64_t HistoryRows::number_of(const std::string& device) {
  SQLite::Statement find(database_, "SELECT number FROM history_devices WHERE name = ?");
  find.bind(1, device);
  if (find.executeStep()) return find.getColumn(0).getInt64();
  SQLite::Statement add(database_, "INSERT INTO history_devices (name) VALUES (?)");
  add.bind(1, device);
  add.exec();
  return database_.getLastInsertRowid();
}

void HistoryRows::write_week(std::int64_t device, std::int64_t week, upkeep::Changes changes) {
  upkeep::Changes whole;
  SQLite::Statement find(database_, "SELECT body FROM history WHERE number = ?");
  find.bind(1, row_of(device, week));
  if (find.executeStep())
    if (auto kept = changes_from(octets_in(find.getColumn(0)), week)) whole = std::move(*kept);
  upkeep::merge_into(whole, std::move(changes));
  const auto octets = kept_octets(whole, week);
  SQLite::Statement put(database_,
                        "INSERT INTO history (number, week, thinned, body) VALUES (?, ?, 0, ?)"
                        " ON CONFLICT (number) DO UPDATE SET body = excluded.body");
  put.bind(1, row_of(device, week));
  put.bind(2, week);
  put.bindNoCopy(3, octets.data(), static_cast<int>(octets.size()));
  put.exec();
}

std::vector<std::string> HistoryRows::devices() {
  SQLite::Statement query(
      database_,
      "SELECT name FROM history_devices WHERE EXISTS (SELECT 1 FROM history WHERE history.number"
      " BETWEEN history_devices.number * ?1 AND history_devices.number * ?1 + ?1 - 1) ORDER BY name");
  query.bind(1, kWeeks);
  std::vector<std::string> names;
  while (query.executeStep()) names.push_back(query.getColumn(0).getString());
  return names;
}

upkeep::Changes HistoryRows::read(const std::string& device, model::WallTime since,
                                  const std::function<void(const model::Error&)>& leave_out) {
  upkeep::Changes all;
  SQLite::Statement query(database_,
                          "SELECT week, body FROM history WHERE number BETWEEN"
                          " (SELECT number FROM history_devices WHERE name = ?1) * ?2 + ?3 AND"
                          " (SELECT number FROM history_devices WHERE name = ?1) * ?2 + ?2 - 1 ORDER BY number");
  query.bind(1, device);
  query.bind(2, kWeeks);
  query.bind(3, upkeep::week_of(since) - upkeep::kFirstWeek);
  while (query.executeStep()) {
    if (const auto error = append_changes(all, octets_in(query.getColumn(1)), query.getColumn(0).getInt64()))
      leave_out(*error);
  }
  return all;
}

void HistoryRows::forget_before(model::WallTime then) {
  SQLite::Statement gone(database_, "DELETE FROM history WHERE thinned IN (0, 1) AND week < ?");
  gone.bind(1, upkeep::week_of(then));
  gone.exec();
}

void HistoryRows::thin_before(model::WallTime then) {
  SQLite::Statement query(
      database_, "SELECT number, week, body FROM history WHERE thinned = 0 AND week < ? ORDER BY week LIMIT ?");
  query.bind(1, upkeep::week_of(then));
  query.bind(2, kThinnedAtOnce);
  std::map<std::int64_t, std::string> thinned;  // written when the search is over
  while (query.executeStep()) {
    const auto week = query.getColumn(1).getInt64();
    const std::string octets(octets_in(query.getColumn(2)));
    auto changes = changes_from(octets, week);
    if (changes) upkeep::thin(*changes);
    thinned[query.getColumn(0).getInt64()] = changes ? kept_octets(*changes, week) : octets;
  }
  SQLite::Statement put(database_, "UPDATE history SET thinned = 1, body = ? WHERE number = ?");
  for (const auto& [number, octets] : thinned) {
    put.reset();
    put.bind(1, octets.data(), static_cast<int>(octets.size()));
    put.bind(2, number);
    put.exec();
  }
}

}  // namespace frisket::store
