#include "printer.h"

#include <algorithm>

namespace frisket::week {
namespace {

using namespace model;

Input tray(std::int32_t index, InputType type, std::int32_t sheets, std::int32_t most, std::string media) {
  Input input;
  input.index = index;
  input.type = type;
  input.unit = CapacityUnit::sheets;
  input.max_capacity = Amount{most};
  input.current_level = Amount{sheets};
  input.status = SubunitStatus::decode(0);
  input.name = index == 3 ? "Bypass" : "Tray " + std::to_string(index);
  input.media_name = std::move(media);
  return input;
}

Supply cartridge(std::int32_t index, std::string colorant) {
  Supply supply;
  supply.index = index;
  supply.marker_index = 1;
  supply.colorant_index = index;
  supply.supply_class = SupplyClass::supply_that_is_consumed;
  supply.type = SupplyType::toner_cartridge;
  supply.description = colorant + " toner cartridge QX-70" + std::to_string(index) + "A";
  supply.colorant = std::move(colorant);
  supply.unit = SupplyUnit::percent;
  supply.max_capacity = Amount{100};
  supply.level = Amount{80};
  return supply;
}

DeviceSnapshot healthy(const Dialect& dialect) {
  DeviceSnapshot snapshot;
  snapshot.host.description = "Quillon LX 4100";
  snapshot.host.device = HostDeviceStatus::running;
  snapshot.host.printer = HostPrinterStatus::idle;
  snapshot.covers = {{1, "Front cover", CoverStatus::cover_closed}, {2, "Rear cover", CoverStatus::cover_closed}};
  snapshot.inputs = {
      tray(1, InputType::sheet_feed_auto_removable_tray, 400, 500, "iso-a4-white"),
      tray(2, InputType::sheet_feed_auto_removable_tray, 400, 500, dialect.own_media ? "letterhead" : "iso-a4-white"),
      tray(3, InputType::sheet_feed_manual, 0, 50, "")};
  Output bin;
  bin.index = 1;
  bin.max_capacity = Amount{250};
  bin.remaining_capacity = Amount{200};
  bin.status = SubunitStatus::decode(0);
  bin.name = "Top bin";
  snapshot.outputs = {bin};
  Marker marker;
  marker.index = 1;
  marker.mark_tech = MarkTech::electrophotographic_laser;
  marker.life_count = 100'000;
  marker.status = SubunitStatus::decode(0);
  snapshot.markers = {marker};
  snapshot.supplies = {cartridge(1, "black")};
  if (dialect.colour)
    for (const auto& [index, colorant] : {std::pair{2, "cyan"}, std::pair{3, "magenta"}, std::pair{4, "yellow"}})
      snapshot.supplies.push_back(cartridge(index, colorant));
  MediaPath path;
  path.index = 1;
  path.status = SubunitStatus::decode(0);
  snapshot.media_paths = {path};
  Interface interface;
  interface.index = 1;
  interface.in_errors = 0;
  interface.out_errors = 0;
  snapshot.interfaces = {interface};
  return snapshot;
}

template <class Rows>
SubunitStatus* status_in(Rows& rows, std::int32_t index) {
  const auto row = std::ranges::find_if(rows, [&](const auto& each) { return each.index == index; });
  return row == rows.end() ? nullptr : &row->status;
}

SubunitStatus* status_of(const Subunit& subunit, DeviceSnapshot& snapshot) {
  switch (subunit.kind) {
    case Subunit::Kind::input:
      return status_in(snapshot.inputs, subunit.index);
    case Subunit::Kind::output:
      return status_in(snapshot.outputs, subunit.index);
    case Subunit::Kind::marker:
      return status_in(snapshot.markers, subunit.index);
    case Subunit::Kind::media_path:
      return status_in(snapshot.media_paths, subunit.index);
    default:
      return nullptr;
  }
}

}  // namespace

Printer::Printer(Dialect dialect) : dialect_(dialect), base_(healthy(dialect)) {}

void Printer::number_rows(Sign& sign) {
  for (auto& row : sign.rows) row.index = next_row_++;
}

void Printer::show(const std::string& name, Sign sign) {
  number_rows(sign);
  signs_.insert_or_assign(name, std::move(sign));
  made_.reset();
}

void Printer::end(const std::string& name) {
  if (signs_.erase(name) > 0) made_.reset();
}

void Printer::cover(std::int32_t index, bool open) {
  base_.covers.at(static_cast<std::size_t>(index - 1)).status =
      open ? CoverStatus::cover_open : CoverStatus::cover_closed;
  made_.reset();
}

void Printer::sheets(std::int32_t tray, std::int32_t sheets) {
  base_.inputs.at(static_cast<std::size_t>(tray - 1)).current_level = Amount{sheets};
  made_.reset();
}

void Printer::room(std::int32_t room) {
  base_.outputs.front().remaining_capacity = Amount{room};
  made_.reset();
}

void Printer::toner(std::int32_t percent) {
  base_.supplies.front().level = Amount{percent};
  made_.reset();
}

std::int32_t Printer::toner_left() const { return amount_of(base_.supplies.front().level).value_or(0); }

bool Printer::stopped() const {
  return std::ranges::any_of(signs_, [](const auto& entry) { return entry.second.stops; }) ||
         std::ranges::any_of(base_.covers, [](const Cover& cover) { return cover.open(); });
}

void Printer::print(std::uint32_t pages) {
  if (off_ || asleep_ || warming_ || stopped()) return;
  base_.markers.front().life_count = *base_.markers.front().life_count + pages;
  made_.reset();
}

void Printer::interface_errors(std::uint32_t more) {
  base_.interfaces.front().in_errors = *base_.interfaces.front().in_errors + more;
  made_.reset();
}

void Printer::switch_on() {
  off_ = false;
  warming_ = true;
  asleep_ = false;
  next_row_ = 1;
  for (auto& [name, sign] : signs_) number_rows(sign);
  made_.reset();
}

void Printer::warm_up(bool warming) {
  warming_ = warming;
  asleep_ = asleep_ && !warming;
  made_.reset();
}

void Printer::sleep(bool asleep) {
  asleep_ = asleep;
  made_.reset();
}

void Printer::show_status(const Sign& sign, DeviceSnapshot& snapshot) const {
  for (const auto& subunit : sign.troubled) {
    auto* status = status_of(subunit, snapshot);
    if (status == nullptr) continue;
    if (sign.on_request) status->availability = SubunitStatus::Availability::on_request;
    // Waiting for paper is the subunit's own state; the alert flags are what not every agent sets.
    if (!dialect_.status && !sign.on_request) continue;
    if (sign.critical)
      status->critical_alerts = true;
    else
      status->non_critical_alerts = true;
  }
}

std::shared_ptr<const DeviceSnapshot> Printer::snapshot() {
  if (made_) return made_;
  auto snapshot = base_;
  std::string octets(2, '\0');
  bool stops = stopped();
  for (const auto& [name, sign] : signs_) {
    if (dialect_.rows) std::ranges::copy(sign.rows, std::back_inserter(snapshot.alerts));
    for (const auto bit : sign.bits) {
      const auto n = static_cast<unsigned>(bit);
      octets[n / 8] = static_cast<char>(static_cast<unsigned char>(octets[n / 8]) | (0x80U >> (n % 8)));
    }
    show_status(sign, snapshot);
    if (dialect_.panel && !sign.panel.empty())
      snapshot.console.push_back({static_cast<std::int32_t>(snapshot.console.size() + 1), sign.panel});
  }
  std::ranges::sort(snapshot.alerts, {}, &Alert::index);
  if (dialect_.bits) snapshot.host.errors = ErrorBits::decode(octets);
  if (stops || warming_) snapshot.host.device = HostDeviceStatus::down;
  if (stops || asleep_) snapshot.host.printer = HostPrinterStatus::other;
  if (warming_) snapshot.host.printer = HostPrinterStatus::warmup;
  made_ = std::make_shared<const DeviceSnapshot>(std::move(snapshot));
  return made_;
}

}  // namespace frisket::week
