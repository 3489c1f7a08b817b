#include "probes/snmp/watch.h"

#include <algorithm>
#include <chrono>
#include <utility>

#include "probes/snmp/values.h"

namespace frisket::snmp {
namespace {

using mib::TableId;
using model::DeviceSnapshot;

// A binding's own tags and lengths, and a number as long as counters get.
constexpr std::size_t kBindingOctets = 6;
constexpr std::size_t kNumberOctets = 5;
constexpr std::size_t kMostConsoleLines = 8;

constexpr std::size_t place(TableId id) { return static_cast<std::size_t>(id); }

void mark(TableSet& set, TableId id) { set.set(place(id)); }

// Octets of a name on the wire: seven bits each (X.690 section 8.19), the first two in one.
std::size_t octets_of(OidView name) {
  std::size_t octets = 0;
  for (const auto id : name)
    for (auto rest = id; octets++, rest >= 0x80; rest >>= 7U) {
    }
  return octets - std::min<std::size_t>(octets, 1);
}

// The subunit's row in a list that is in order of index; null if it is not there.
template <class Rows>
auto row_in(Rows& rows, std::int32_t index) -> decltype(&rows.front()) {
  const auto found = std::ranges::lower_bound(rows, index, {}, [](const auto& row) { return row.index; });
  return found != rows.end() && found->index == index ? &*found : nullptr;
}

bool has_counters(const DeviceSnapshot& device) { return device.general.all_events.has_value(); }

// How much is left, for telling whether there is more than before. Nothing for "unknown".
std::optional<std::int64_t> fullness(const model::Level& level) {
  if (std::holds_alternative<model::SomeLeft>(level)) return 1;
  const auto amount = model::amount_of(level);
  return amount ? std::optional<std::int64_t>(*amount) : std::nullopt;
}

// A level goes down by use, and up because somebody was there: another cartridge has another name.
bool was_refilled(const model::Level& before, const model::Level& now) {
  const auto had = fullness(before);
  const auto has = fullness(now);
  return had.has_value() != has.has_value() || (has && *has > *had);
}

}  // namespace

// Takes items as long as there is room.
class Watch::Filler {
 public:
  Filler(Watch& watch, const std::vector<Item>& lacking, std::size_t octets)
      : watch_(watch), lacking_(lacking), room_(octets) {}

  bool scalar(mib::scalar::Id id, std::size_t value_octets = kNumberOctets) {
    return add({Item::kScalar, static_cast<std::uint8_t>(id), 0}, value_octets);
  }

  void cell(TableId table, std::size_t column, std::int32_t row, std::size_t value_octets = kNumberOctets) {
    const Item item{static_cast<std::uint8_t>(table), static_cast<std::uint8_t>(column), row};
    if (std::ranges::find(lacking_, item) != lacking_.end()) return;
    if (!add(item, value_octets)) mark(watch_.left_out_, table);
  }

  // Alerts go to the end of the request: their places are taken first, and filled last.
  void alert(std::int32_t row) {
    const Item item{static_cast<std::uint8_t>(TableId::alerts), mib::alert::code, row};
    const auto octets = octets_for(item, kNumberOctets);
    if (octets > room_) return mark(watch_.left_out_, TableId::alerts);
    room_ -= octets;
    alerts_.push_back(item);
  }

  void finish() {
    watch_.alerts_at_ = static_cast<std::uint16_t>(watch_.items_.size());
    watch_.items_.insert(watch_.items_.end(), alerts_.begin(), alerts_.end());
    watch_.items_.shrink_to_fit();
  }

 private:
  std::size_t octets_for(const Item& item, std::size_t value_octets) const {
    return octets_of(watch_.name_of(item)) + value_octets + kBindingOctets;
  }

  bool add(const Item& item, std::size_t value_octets) {
    const auto octets = octets_for(item, value_octets);
    if (octets > room_) return false;
    room_ -= octets;
    watch_.items_.push_back(item);
    return true;
  }

  Watch& watch_;
  const std::vector<Item>& lacking_;
  std::size_t room_;
  std::vector<Item> alerts_;
};

Watch::Watch(const DeviceSnapshot& device, DeviceIndex index, AlertCounters counters, const std::vector<Item>& lacking,
             std::size_t octets)
    : index_(index), chained_(counters == AlertCounters::not_trusted || !has_counters(device)) {
  namespace s = mib::scalar;
  Filler fill(*this, lacking, octets);
  if (device.system.up_time) fill.scalar(s::sys_up_time);
  if (device.host.device) fill.scalar(s::hr_device_status);
  if (device.host.printer) fill.scalar(s::hr_printer_status);
  if (device.host.errors) fill.scalar(s::hr_printer_detected_error_state);
  if (device.general.config_changes) fill.scalar(s::prt_general_config_changes);
  if (device.general.critical_events) fill.scalar(s::prt_alert_critical_events);
  if (device.general.all_events) fill.scalar(s::prt_alert_all_events);
  if (chained_) fill.alert(0);  // the step from the column's beginning to the first row
  for (const auto& alert : device.alerts) fill.alert(alert.index);
  for (const auto& marker : device.markers)
    if (marker.life_count) fill.cell(TableId::markers, mib::marker::life_count, marker.index);
  for (const auto& supply : device.supplies) fill.cell(TableId::supplies, mib::supply::level, supply.index);
  for (const auto& input : device.inputs) fill.cell(TableId::inputs, mib::input::current_level, input.index);
  for (const auto& cover : device.covers) fill.cell(TableId::covers, mib::cover::status, cover.index);
  for (const auto& input : device.inputs) fill.cell(TableId::inputs, mib::input::status, input.index);
  for (const auto& output : device.outputs) {
    fill.cell(TableId::outputs, mib::output::remaining_capacity, output.index);
    fill.cell(TableId::outputs, mib::output::status, output.index);
  }
  std::size_t lines = 0;
  for (const auto& line : device.console)
    if (++lines <= kMostConsoleLines)
      fill.cell(TableId::console, mib::console_line::text, line.index, std::max<std::size_t>(line.text.size(), 20));
  for (const auto& marker : device.markers) fill.cell(TableId::markers, mib::marker::status, marker.index);
  for (const auto& path : device.media_paths) fill.cell(TableId::media_paths, mib::media_path::status, path.index);
  fill.finish();
}

std::size_t Watch::cells() const {
  return static_cast<std::size_t>(std::ranges::count_if(items_, [](const Item& item) {
    return item.table != Item::kScalar && static_cast<TableId>(item.table) != TableId::alerts;
  }));
}

Oid Watch::name_of(const Item& item) const {
  if (item.table == Item::kScalar) return scalar_name(static_cast<mib::scalar::Id>(item.column), index_);
  Oid name(mib::tables[item.table].columns[item.column].oid());
  name.append(index_.printer);
  return name.append(static_cast<std::uint32_t>(item.row));
}

namespace {

// The name that GETNEXT comes to `name` from: the one before it, where agents put nothing between.
Oid before(const Oid& name) {
  const auto ids = name.view();
  Oid result(ids.first(ids.size() - 1));
  if (ids.back() > 0) result.append(ids.back() - 1);
  return result;
}

}  // namespace

std::vector<Oid> Watch::names() const {
  std::vector<Oid> names;
  names.reserve(items_.size());
  for (std::size_t i = 0; i < items_.size(); ++i) {
    auto name = name_of(items_[i]);
    if (chained_) name = i < alerts_at_ || items_[i].row == 0 ? before(name) : std::move(name);
    names.push_back(std::move(name));
  }
  return names;
}

bool Watch::is_answer_to(const Item& item, const VarBind& answer) const {
  return present(answer.value) && answer.name == name_of(item);
}

// Puts the values that differ into a copy of the snapshot, which is made at the first of them.
class Watch::Patch {
 public:
  explicit Patch(const std::shared_ptr<const DeviceSnapshot>& before) : before_(before), now_(before.get()) {}

  // A value of an item that was answered. False when it is not of its type.
  bool set(const Item& item, const Value& value) {
    return item.table == Item::kScalar ? set_scalar(static_cast<mib::scalar::Id>(item.column), value)
                                       : set_cell(item, value);
  }

  TableSet again;
  bool everything = false;

  std::shared_ptr<const DeviceSnapshot> take() {
    if (changed_) return std::move(changed_);
    return before_;
  }

 private:
  // Assigns, if it differs, in a copy.
  template <class T, class Access>
  bool put(T value, Access access) {
    if (access(*now_) == value) return false;
    if (!changed_) {
      changed_ = std::make_shared<DeviceSnapshot>(*before_);
      now_ = changed_.get();
    }
    access(*changed_) = std::move(value);
    return true;
  }

  template <class T, class Row, class Field>
  bool put_in(std::vector<Row> DeviceSnapshot::*rows, std::int32_t index, Field Row::*field, T value) {
    return put(Field(std::move(value)), [=](auto& device) -> auto& { return row_in(device.*rows, index)->*field; });
  }

  bool set_scalar(mib::scalar::Id id, const Value& value);
  bool set_cell(const Item& item, const Value& value);
  bool set_counter(std::optional<std::uint32_t> model::General::*counter, const Value& value, TableSet moves);

  std::shared_ptr<const DeviceSnapshot> before_;
  std::shared_ptr<DeviceSnapshot> changed_;
  const DeviceSnapshot* now_;  // the copy, once there is one
};

namespace {

TableSet alert_tables() {
  TableSet set;
  for (const auto id : {TableId::alerts, TableId::media_paths, TableId::lights, TableId::channels}) mark(set, id);
  return set;
}

// All that prtGeneralConfigChanges counts changes of.
TableSet inventory_tables() {
  auto set = TableSet().set();
  set.reset(place(TableId::console));
  return set;
}

}  // namespace

bool Watch::Patch::set_counter(std::optional<std::uint32_t> model::General::*counter, const Value& value,
                               TableSet moves) {
  const auto number = number_as<std::uint32_t>(value);
  if (!number) return false;
  const auto had = now_->general.*counter;
  if (put(number, [=](auto& device) -> auto& { return device.general.*counter; })) {
    again |= moves;
    // They only count up, and start anew with the device; 32 bits wrap once in longer than a printer lives.
    if (had && *number < *had) everything = true;
  }
  return true;
}

bool Watch::Patch::set_scalar(mib::scalar::Id id, const Value& value) {
  namespace s = mib::scalar;
  switch (id) {
    case s::hr_device_status: {
      const auto number = number_as<std::int32_t>(value);
      if (number)
        put(std::optional(static_cast<model::HostDeviceStatus>(*number)),
            [](auto& device) -> auto& { return device.host.device; });
      return number.has_value();
    }
    case s::hr_printer_status: {
      const auto number = number_as<std::int32_t>(value);
      if (number)
        put(std::optional(static_cast<model::HostPrinterStatus>(*number)),
            [](auto& device) -> auto& { return device.host.printer; });
      return number.has_value();
    }
    case s::hr_printer_detected_error_state: {
      const auto* octets = std::get_if<Octets>(&value);
      if (octets == nullptr || octets->value.size() > kMostErrorOctets) return false;
      const auto errors = std::optional(model::ErrorBits::decode(octets->value));
      // A device whose counters stand still for ever is still heard.
      if (put(errors, [](auto& device) -> auto& { return device.host.errors; })) again |= alert_tables();
      return true;
    }
    case s::prt_general_config_changes:
      return set_counter(&model::General::config_changes, value, inventory_tables());
    case s::prt_alert_critical_events:
      return set_counter(&model::General::critical_events, value, alert_tables());
    case s::prt_alert_all_events:
      return set_counter(&model::General::all_events, value, alert_tables());
    default:
      return true;
  }
}

bool Watch::Patch::set_cell(const Item& item, const Value& value) {
  const auto row = item.row;
  if (static_cast<TableId>(item.table) == TableId::console) {
    const auto* octets = std::get_if<Octets>(&value);
    if (octets == nullptr) return false;
    put_in(&DeviceSnapshot::console, row, &model::ConsoleLine::text, console_text(octets->value, *now_));
    return true;
  }
  if (static_cast<TableId>(item.table) == TableId::markers && item.column == mib::marker::life_count) {
    const auto count = number_as<std::uint32_t>(value);
    if (count) put_in(&DeviceSnapshot::markers, row, &model::Marker::life_count, count);
    return count.has_value();
  }
  const auto number = number_as<std::int32_t>(value);
  if (!number) return false;
  switch (static_cast<TableId>(item.table)) {
    case TableId::markers:
      put_in(&DeviceSnapshot::markers, row, &model::Marker::status, model::SubunitStatus::decode(*number));
      break;
    case TableId::supplies: {
      const auto had = row_in(now_->supplies, row)->level;
      const auto level = model::decode_level(*number);
      if (put_in(&DeviceSnapshot::supplies, row, &model::Supply::level, level) && was_refilled(had, level))
        mark(again, TableId::supplies);
      break;
    }
    case TableId::inputs:
      if (item.column == mib::input::status)
        put_in(&DeviceSnapshot::inputs, row, &model::Input::status, model::SubunitStatus::decode(*number));
      else
        put_in(&DeviceSnapshot::inputs, row, &model::Input::current_level, model::decode_level(*number));
      break;
    case TableId::covers:
      put_in(&DeviceSnapshot::covers, row, &model::Cover::status, static_cast<model::CoverStatus>(*number));
      break;
    case TableId::outputs:
      if (item.column == mib::output::status)
        put_in(&DeviceSnapshot::outputs, row, &model::Output::status, model::SubunitStatus::decode(*number));
      else
        put_in(&DeviceSnapshot::outputs, row, &model::Output::remaining_capacity, model::decode_level(*number));
      break;
    case TableId::media_paths:
      put_in(&DeviceSnapshot::media_paths, row, &model::MediaPath::status, model::SubunitStatus::decode(*number));
      break;
    case TableId::alerts: {
      const auto* alert = row_in(now_->alerts, row);
      if (alert == nullptr || static_cast<std::int32_t>(alert->code) != *number) again |= alert_tables();
      break;
    }
    default:
      break;
  }
  return true;
}

// The agent says so of each row: a value that is merely unusable says nothing.
bool Watch::alerts_are_gone(const std::vector<VarBind>& answers, const DeviceSnapshot& before) const {
  if (before.alerts.empty() || answers.size() < items_.size() || alerts_at_ >= items_.size()) return false;
  const auto column = Oid(mib::alert::columns[mib::alert::code].oid()).append(index_.printer);
  return std::all_of(answers.begin() + alerts_at_, answers.end(), [&](const VarBind& answer) {
    if (chained_) return !starts_with(answer.name, column);
    return answer.name.empty() || std::holds_alternative<NoSuchInstance>(answer.value) ||
           std::holds_alternative<NoSuchObject>(answer.value);
  });
}

Watch::Outcome Watch::take(const std::vector<VarBind>& answers,
                           const std::shared_ptr<const DeviceSnapshot>& before) const {
  Patch patch(before);
  Outcome outcome;
  for (std::size_t i = 0; i < items_.size() && i < answers.size(); ++i) {
    // In a chain each step has to come to the row that was there, and the last one to none.
    const bool step = chained_ && i >= alerts_at_;
    const bool end = step && i + 1 == items_.size();
    if (end) {
      const auto column = Oid(mib::alert::columns[mib::alert::code].oid()).append(index_.printer);
      if (present(answers[i].value) && starts_with(answers[i].name, column)) patch.again |= alert_tables();
      continue;
    }
    const auto& item = items_[step ? i + 1 : i];
    const auto& answer = answers[i];
    if (is_answer_to(item, answer)) {
      if (item.table == Item::kScalar && item.column == mib::scalar::sys_up_time)
        outcome.up_time = number_as<std::uint32_t>(answer.value);
      if (patch.set(item, answer.value)) continue;
    }
    // Gone, or of another type.
    if (item.table == Item::kScalar) {
      patch.everything = true;
    } else if (static_cast<TableId>(item.table) == TableId::alerts) {
      patch.again |= alert_tables();
    } else {
      patch.again.set(item.table);
      outcome.gone.push_back(item);
    }
  }
  outcome.alerts_gone = alerts_are_gone(answers, *before);
  outcome.again = patch.again;
  outcome.everything = patch.everything;
  outcome.snapshot = patch.take();
  return outcome;
}

bool has_restarted(std::uint32_t before, std::uint32_t now, model::SteadyTime::duration between) {
  using Ticks = std::chrono::duration<std::int64_t, std::centi>;
  constexpr auto kWrap = std::int64_t{1} << 32U;
  constexpr Ticks kBack = std::chrono::seconds(1);  // computed from a clock that was set a little
  const Ticks passed = std::chrono::duration_cast<Ticks>(between);
  const Ticks slack = Ticks(std::chrono::minutes(5)) + passed / 10;  // clocks of printers are poor
  const Ticks expected = Ticks(before) + passed;
  const Ticks is = Ticks(now);
  const bool wrapped = expected.count() + slack.count() >= kWrap && is + Ticks(kWrap) >= expected - slack &&
                       is + Ticks(kWrap) <= expected + slack;
  if (wrapped) return false;
  return is + kBack < Ticks(before) || is + slack < expected;
}

}  // namespace frisket::snmp
