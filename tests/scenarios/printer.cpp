#include "printer.h"

#include <algorithm>

namespace frisket::scenarios {
namespace {

using namespace model;

constexpr std::pair<std::string_view, MarkTech> kEngines[] = {
    {"laser", MarkTech::electrophotographic_laser},
    {"ink", MarkTech::inkjet_aqueous},
    {"ribbon", MarkTech::thermal_transfer},
};

constexpr std::pair<std::string_view, CoverStatus> kCoverWords[] = {
    {"closed", CoverStatus::cover_closed},
    {"open", CoverStatus::cover_open},
    {"interlock-open", CoverStatus::interlock_open},
    {"unknown", CoverStatus::unknown},
};

SubunitStatus idle() { return SubunitStatus::decode(0); }

// "40", "some", "unknown", "unlimited"
Level level(Line& line) {
  if (line.take("some")) return SomeLeft{};
  if (line.take("unknown")) return Unknown{};
  if (line.take("unlimited")) return Unlimited{};
  return Amount{line.integer("an amount, some, unknown or unlimited")};
}

Capacity capacity(Line& line) {
  if (line.take("unknown")) return Unknown{};
  return Amount{line.integer("the capacity, or unknown")};
}

// "LEVEL of CAPACITY", or in a change just "LEVEL"
void take_level(Line& line, Level& now, Capacity& most) {
  now = level(line);
  if (line.take("of")) most = capacity(line);
}

template <class Row>
Row& row_of(std::vector<Row>& rows, Line& line, std::string_view what) {
  const auto index = line.integer("its number");
  for (auto& row : rows)
    if (row.index == index) return row;
  line.refuse("the printer has no " + std::string(what) + " " + std::to_string(index));
}

template <class Row>
Row& new_row(std::vector<Row>& rows, Line& line) {
  Row row;
  row.index = line.integer("its number");
  for (const auto& other : rows)
    if (other.index == row.index) line.refuse("there is one with this number already");
  rows.push_back(std::move(row));
  return rows.back();
}

void describe_tray(Line& line, DeviceSnapshot& snapshot, InputType type) {
  auto& tray = new_row(snapshot.inputs, line);
  tray.type = type;
  tray.unit = CapacityUnit::sheets;
  tray.status = idle();
  tray.name = line.quoted().value_or("");
  if (line.take("media")) tray.media_name = line.word("the media");
  if (line.take("sheets")) take_level(line, tray.current_level, tray.max_capacity);
}

void describe_supply(Line& line, DeviceSnapshot& snapshot) {
  auto& supply = new_row(snapshot.supplies, line);
  supply.marker_index = 1;
  supply.type = line.listed<SupplyType>("kind of supply");
  const bool fills = line.take("filled");
  supply.supply_class = fills ? SupplyClass::receptacle_that_is_filled : SupplyClass::supply_that_is_consumed;
  if (line.take("colorant")) supply.colorant = line.word("the colorant");
  supply.colorant_index = supply.colorant.empty() ? 0 : supply.index;
  supply.description = line.quoted().value_or("");
  if (line.take("level")) take_level(line, supply.level, supply.max_capacity);
}

std::uint32_t count(Line& line, std::string_view what) {
  const auto said = line.integer(what);
  if (said < 0) line.refuse("a counter is not below 0");
  return static_cast<std::uint32_t>(said);
}

void describe_engine(Line& line, DeviceSnapshot& snapshot) {
  auto& marker = new_row(snapshot.markers, line);
  marker.status = idle();
  marker.mark_tech = line.one_of("marking technology", kEngines);
  if (line.take("impressions")) marker.life_count = count(line, "how many impressions");
}

void take_errors(Line& line, Interface& interface) {
  if (line.take("in-errors")) interface.in_errors = count(line, "how many errors");
  if (line.take("out-errors")) interface.out_errors = count(line, "how many errors");
}

// Each text is a line of the panel; none: it is blank.
void change_panel(Line& line, DeviceSnapshot& snapshot) {
  snapshot.console.clear();
  while (const auto text = line.quoted())
    snapshot.console.push_back({static_cast<std::int32_t>(snapshot.console.size() + 1), *text});
  if (snapshot.console.empty() && !line.take("blank")) line.refuse("a panel shows texts in quotes, or is 'blank'");
}

void change_alert(Line& line, DeviceSnapshot& snapshot) {
  Alert row;
  row.index = line.integer("the row's number");
  std::erase_if(snapshot.alerts, [&](const Alert& other) { return other.index == row.index; });
  if (line.take("gone")) return;
  row.severity = line.listed<AlertSeverity>("severity of an alert");
  row.group = line.listed<AlertGroup>("group of alerts");
  row.group_index = line.integer("the group index, or -1");
  row.code = line.listed<AlertCode>("alert code");
  row.description = line.quoted().value_or("");
  if (line.take("training")) row.training = line.listed<AlertTraining>("training level");
  snapshot.alerts.push_back(std::move(row));
}

void change_bits(Line& line, DeviceSnapshot& snapshot) {
  if (line.take("none")) {
    snapshot.host.errors = ErrorBits{};
    return;
  }
  if (line.take("absent")) {
    snapshot.host.errors.reset();
    return;
  }
  std::string octets(2, '\0');
  while (!line.done()) {
    const auto said = line.word("an error bit");
    unsigned bit = 0;
    while (bit < 15 && to_text(static_cast<ErrorBit>(bit)) != said) ++bit;
    if (bit == 15) line.refuse("'" + said + "' is no bit of hrPrinterDetectedErrorState, nor none or absent");
    octets[bit / 8] = static_cast<char>(static_cast<unsigned char>(octets[bit / 8]) | (0x80U >> (bit % 8)));
  }
  snapshot.host.errors = ErrorBits::decode(octets);
}

void change_tray(Line& line, DeviceSnapshot& snapshot) {
  auto& tray = row_of(snapshot.inputs, line, "tray");
  if (line.take("sheets")) return take_level(line, tray.current_level, tray.max_capacity);
  if (line.take("status")) {
    tray.status = SubunitStatus::decode(line.integer("a PrtSubUnitStatusTC value"));
    return;
  }
  line.refuse("a tray changes its sheets or its status");
}

void change_bin(Line& line, DeviceSnapshot& snapshot) {
  auto& bin = row_of(snapshot.outputs, line, "bin");
  if (line.take("room")) return take_level(line, bin.remaining_capacity, bin.max_capacity);
  if (line.take("status")) {
    bin.status = SubunitStatus::decode(line.integer("a PrtSubUnitStatusTC value"));
    return;
  }
  line.refuse("a bin changes its room or its status");
}

void change_supply(Line& line, DeviceSnapshot& snapshot) {
  auto& supply = row_of(snapshot.supplies, line, "supply");
  if (!line.take("level")) line.refuse("a supply changes its level");
  take_level(line, supply.level, supply.max_capacity);
}

void change_host(Line& line, DeviceSnapshot& snapshot) {
  snapshot.host.device = line.listed<HostDeviceStatus>("hrDeviceStatus");
  if (!line.done()) snapshot.host.printer = line.listed<HostPrinterStatus>("hrPrinterStatus");
}

}  // namespace

Printer idle_printer() {
  Printer printer;
  printer.snapshot.host.description = "Quillon LX 4100";
  printer.snapshot.host.device = HostDeviceStatus::running;
  printer.snapshot.host.printer = HostPrinterStatus::idle;
  printer.snapshot.host.errors = ErrorBits{};
  return printer;
}

void Printer::describe(Line& line) {
  const auto what = line.word("a part of the printer");
  if (what == "tray") {
    describe_tray(line, snapshot, InputType::sheet_feed_auto_removable_tray);
  } else if (what == "bypass") {
    describe_tray(line, snapshot, InputType::sheet_feed_manual);
  } else if (what == "bin") {
    auto& bin = new_row(snapshot.outputs, line);
    bin.status = idle();
    bin.name = line.quoted().value_or("");
    if (line.take("room")) take_level(line, bin.remaining_capacity, bin.max_capacity);
  } else if (what == "cover") {
    auto& cover = new_row(snapshot.covers, line);
    cover.description = line.quoted().value_or("");
    cover.status = line.done() ? CoverStatus::cover_closed : line.one_of("state of a cover", kCoverWords);
  } else if (what == "supply") {
    describe_supply(line, snapshot);
  } else if (what == "engine") {
    describe_engine(line, snapshot);
  } else if (what == "interface") {
    take_errors(line, new_row(snapshot.interfaces, line));
  } else if (what == "path") {
    auto& path = new_row(snapshot.media_paths, line);
    path.status = idle();
    path.description = line.quoted().value_or("");
  } else {
    line.refuse("'" + what + "' is no part of a printer: tray, bypass, bin, cover, supply, engine, path, interface");
  }
}

void Printer::change(Line& line) {
  const auto what = line.word("what changes");
  if (what == "tray") return change_tray(line, snapshot);
  if (what == "bin") return change_bin(line, snapshot);
  if (what == "supply") return change_supply(line, snapshot);
  if (what == "bits") return change_bits(line, snapshot);
  if (what == "host") return change_host(line, snapshot);
  if (what == "alert") return change_alert(line, snapshot);
  if (what == "panel") return change_panel(line, snapshot);
  if (what == "interface") return take_errors(line, row_of(snapshot.interfaces, line, "interface"));
  if (what == "engine") {
    auto& marker = row_of(snapshot.markers, line, "engine");
    if (!line.take("impressions")) line.refuse("an engine changes its impressions");
    marker.life_count = count(line, "how many impressions");
    return;
  }
  if (what == "alerts" && line.take("gone")) return snapshot.alerts.clear();
  if (what == "cover") {
    auto& cover = row_of(snapshot.covers, line, "cover");
    cover.status = line.one_of("state of a cover", kCoverWords);
    return;
  }
  if (what == "path") {
    auto& path = row_of(snapshot.media_paths, line, "path");
    if (!line.take("status")) line.refuse("a path changes its status");
    path.status = SubunitStatus::decode(line.integer("a PrtSubUnitStatusTC value"));
    return;
  }
  constexpr std::pair<std::string_view, Reach> kReaches[] = {
      {"answers", Reach::answered},          {"silent", Reach::silent},       {"refused", Reach::refused},
      {"unknown-user", Reach::unknown_user}, {"wrong-key", Reach::wrong_key}, {"nonsense", Reach::nonsense}};
  for (const auto& [word, meant] : kReaches) {
    if (what != word) continue;
    reach = meant;
    return;
  }
  line.refuse("'" + what +
              "' is nothing that happens: tray, bin, cover, supply, path, engine, interface, panel, bits, host, alert, "
              "alerts gone, answers, silent, refused, unknown-user, wrong-key, nonsense, neighbours, ack, shelve, "
              "close, take-back, out-of-service, in-service, restart, no-poll, expect");
}

}  // namespace frisket::scenarios
