// From a model's description to its list of objects: RFC 3805 section 6, RFC 2790, RFC 2863,
// RFC 3418 and PWG 5107.1, column by column.
#include <algorithm>
#include <initializer_list>

#include "tests/simfleet/model.h"

namespace frisket::simfleet {
namespace {

std::string integer(std::int64_t value) {
  std::string out;
  ber::append_integer(out, value);
  return out;
}

std::string text(std::string_view octets) {
  std::string out;
  ber::append_octets(out, octets);
  return out;
}

std::string name(OidView oid) {
  std::string out;
  ber::append_oid(out, oid);
  return out;
}

std::string natural(std::uint64_t value, std::uint8_t tag) {
  std::string out;
  ber::append_unsigned(out, value, tag);
  return out;
}

// Writes one row of one table, column after column.
class Row {
 public:
  Row(Mib& mib, Oid entry, std::initializer_list<std::uint32_t> index)
      : mib_(mib), entry_(std::move(entry)), index_(index) {}

  Row& put(std::uint32_t column, std::string encoded) {
    mib_.add(oid(column), std::move(encoded));
    return *this;
  }
  Row& put(std::uint32_t column, SlotKind kind, std::size_t row = 0) {
    mib_.add(oid(column), Slot{kind, static_cast<std::uint16_t>(row)});
    return *this;
  }
  Row& uptime(std::uint32_t column) {
    mib_.add_uptime(oid(column));
    return *this;
  }

 private:
  Oid oid(std::uint32_t column) {
    Oid object = entry_;
    object.push_back(column);
    mib_.add_object(object);
    object.insert(object.end(), index_.begin(), index_.end());
    return object;
  }

  Mib& mib_;
  Oid entry_;
  Oid index_;
};

Oid prt(std::initializer_list<std::uint32_t> rest) {
  Oid oid{1, 3, 6, 1, 2, 1, 43};
  oid.insert(oid.end(), rest);
  return oid;
}

void add_system(Model& m) {
  const std::string descr = m.maker + " " + m.name + ", firmware " + m.firmware;
  Row(m.mib, {1, 3, 6, 1, 2, 1, 1}, {0})
      .put(1, text(m.encode(descr)))
      .put(2, name(m.object_id))
      .uptime(3)
      .put(4, text(""))
      .put(5, SlotKind::sys_name)
      .put(6, SlotKind::sys_location)
      .put(7, integer(72));  // transport and application layers
  Row(m.mib, {1, 3, 6, 1, 2, 1, 2}, {0}).put(1, integer(1));
  Row interface(m.mib, {1, 3, 6, 1, 2, 1, 2, 2, 1}, {1});
  interface.put(1, integer(1)).put(2, text("eth0")).put(3, integer(6)).put(4, integer(1500));
  interface.put(5, natural(1'000'000'000, ber::gauge32)).put(6, SlotKind::if_phys_address);
  interface.put(7, integer(1)).put(8, integer(1)).put(9, natural(0, ber::time_ticks));
  for (const std::uint32_t column : {10U, 11U, 13U, 15U, 16U, 17U, 19U, 20U})
    interface.put(column, natural(0, ber::counter32));
  interface.put(14, SlotKind::if_in_errors);
}

void add_host(Model& m) {
  Row(m.mib, {1, 3, 6, 1, 2, 1, 25, 1}, {0}).uptime(1);
  const auto index = static_cast<std::uint32_t>(m.device_index);
  const auto device = [&](std::uint32_t row, std::uint32_t type, const std::string& descr) {
    return Row(m.mib, {1, 3, 6, 1, 2, 1, 25, 3, 2, 1}, {row})
        .put(1, integer(row))
        .put(2, name(Oid{1, 3, 6, 1, 2, 1, 25, 3, 1, type}))
        .put(3, text(m.encode(descr).substr(0, 64)));
  };
  for (std::uint32_t row = 1; row < index; ++row) {
    device(row, 3, "Controller board").put(4, name(Oid{0, 0})).put(5, integer(2)).put(6, natural(0, ber::counter32));
  }
  device(index, 5, m.maker + " " + m.name)
      .put(4, name(m.object_id))
      .put(5, SlotKind::device_status)
      .put(6, SlotKind::device_errors);
  Row(m.mib, {1, 3, 6, 1, 2, 1, 25, 3, 5, 1}, {index}).put(1, SlotKind::printer_status).put(2, SlotKind::error_state);
}

void add_general(Model& m, std::uint32_t device) {
  Row(m.mib, prt({5, 1, 1}), {device})
      .put(1, SlotKind::config_changes)
      .put(2, integer(1))
      .put(3, integer(3))
      .put(4, text(""))
      .put(5, text(""))
      .put(6, integer(1))
      .put(7, integer(1))
      .put(8, integer(1))
      .put(9, integer(m.paths.empty() ? -2 : 1))
      .put(10, integer(1))
      .put(11, integer(m.console_lines))
      .put(12, integer(m.console_lines == 0 ? 0 : m.console_chars))
      .put(13, integer(3))
      .put(14, integer(4))
      .put(15, integer(4))
      .put(16, SlotKind::printer_name)
      .put(17, SlotKind::serial_number)
      .put(18, SlotKind::critical_events)
      .put(19, SlotKind::all_events);
  Row(m.mib, prt({7, 1, 1}), {device, 1})
      .put(2, text(m.language))
      .put(3, text(m.country))
      .put(4, integer(static_cast<std::int64_t>(m.charset)));
}

void add_media(Model& m, std::uint32_t device) {
  for (std::uint32_t i = 1; i <= m.covers.size(); ++i) {
    Row(m.mib, prt({6, 1, 1}), {device, i})
        .put(2, text(m.encode(m.covers[i - 1].name)))
        .put(3, SlotKind::cover_status, i);
  }
  for (std::uint32_t i = 1; i <= m.inputs.size(); ++i) {
    const auto& input = m.inputs[i - 1];
    const bool percent = input.reports == Reports::percent;
    Row(m.mib, prt({8, 2, 1}), {device, i})
        .put(2, integer(input.type))
        .put(3, integer(4))
        .put(4, integer(input.feed_um))
        .put(5, integer(input.cross_um))
        .put(6, integer(input.feed_um))
        .put(7, integer(input.cross_um))
        .put(8, integer(percent ? 19 : input.unit))
        .put(9, integer(percent ? 100 : input.capacity))
        .put(10, SlotKind::input_level, i)
        .put(11, SlotKind::input_status, i)
        .put(12, SlotKind::input_media_name, i)
        .put(13, text(m.encode(input.name)))
        .put(14, text(m.maker))
        .put(15, text(""))
        .put(16, text(""))
        .put(17, text(""))
        .put(18, text(m.encode(input.name)))
        .put(19, integer(5))
        .put(20, integer(input.weight))
        .put(21, text(input.media_type))
        .put(22, text(input.media_color))
        .put(23, integer(-1))
        .put(24, integer(-1))
        .put(25, integer(-3));
  }
  for (std::uint32_t i = 1; i <= m.outputs.size(); ++i) {
    const auto& output = m.outputs[i - 1];
    const bool percent = output.reports == Reports::percent;
    Row(m.mib, prt({9, 2, 1}), {device, i})
        .put(2, integer(output.type))
        .put(3, integer(percent ? 19 : output.unit))
        .put(4, integer(percent ? 100 : output.capacity))
        .put(5, SlotKind::output_remaining, i)
        .put(6, SlotKind::output_status, i)
        .put(7, text(m.encode(output.name)))
        .put(12, text(m.encode(output.name)))
        .put(19, integer(3))
        .put(20, integer(4));
  }
  for (std::uint32_t i = 1; i <= m.paths.size(); ++i) {
    const auto& path = m.paths[i - 1];
    Row(m.mib, prt({13, 4, 1}), {device, i})
        .put(2, integer(7))
        .put(3, integer(4))
        .put(4, integer(path.speed * std::int64_t{60}))
        .put(5, integer(-2))
        .put(6, integer(-2))
        .put(7, integer(-2))
        .put(8, integer(-2))
        .put(9, integer(path.type))
        .put(10, text(m.encode(path.name)))
        .put(11, SlotKind::media_path_status, i);
  }
}

void add_marking(Model& m, std::uint32_t device) {
  for (std::uint32_t i = 1; i <= m.markers.size(); ++i) {
    const auto& marker = m.markers[i - 1];
    Row(m.mib, prt({10, 2, 1}), {device, i})
        .put(2, integer(marker.technology))
        .put(3, integer(marker.counter_unit))
        .put(4, SlotKind::marker_life, i)
        .put(5, SlotKind::marker_power_on, i)
        .put(6, integer(marker.process_colorants))
        .put(7, integer(0))
        .put(8, integer(4))
        .put(9, integer(marker.resolution))
        .put(10, integer(marker.resolution))
        .put(11, integer(4200))
        .put(12, integer(4200))
        .put(13, integer(4200))
        .put(14, integer(4200))
        .put(15, SlotKind::marker_status, i);
  }
  for (std::uint32_t i = 1; i <= m.supplies.size(); ++i) {
    const auto& supply = m.supplies[i - 1];
    const bool percent = supply.reports == Reports::percent;
    const bool vague = supply.reports == Reports::some_left || supply.reports == Reports::unknown;
    Row(m.mib, prt({11, 1, 1}), {device, i})
        .put(2, integer(1))
        .put(3, integer(supply.colorant))
        .put(4, integer(supply.supply_class))
        .put(5, integer(supply.type))
        .put(6, text(m.encode(supply.name)))
        .put(7, integer(percent ? 19 : supply.unit))
        .put(8, integer(percent ? 100
                        : vague ? -2
                                : supply.capacity))
        .put(9, SlotKind::supply_level, i);
  }
  for (std::uint32_t i = 1; i <= m.colorants.size(); ++i) {
    Row(m.mib, prt({12, 1, 1}), {device, i})
        .put(2, integer(1))
        .put(3, integer(m.colorants[i - 1].role))
        .put(4, text(m.colorants[i - 1].value))
        .put(5, integer(256));
  }
}

void add_speaking(Model& m, std::uint32_t device) {
  const auto charset = static_cast<std::int64_t>(m.charset);
  for (std::uint32_t i = 1; i <= m.channels.size(); ++i) {
    const auto& channel = m.channels[i - 1];
    Row(m.mib, prt({14, 1, 1}), {device, i})
        .put(2, integer(channel.type))
        .put(3, text(channel.version))
        .put(4, integer(0))
        .put(5, integer(channel.language))
        .put(6, integer(3))
        .put(7, integer(1))
        .put(8, SlotKind::channel_status, i)
        .put(9, text(channel.information));
  }
  for (std::uint32_t i = 1; i <= m.interpreters.size(); ++i) {
    const auto& interpreter = m.interpreters[i - 1];
    Row(m.mib, prt({15, 1, 1}), {device, i})
        .put(2, integer(interpreter.family))
        .put(3, text(interpreter.level))
        .put(4, text(interpreter.version))
        .put(5, text(m.encode(interpreter.name)))
        .put(6, text(m.firmware))
        .put(7, integer(3))
        .put(8, integer(-2))
        .put(9, integer(-2))
        .put(10, integer(charset))
        .put(11, integer(charset))
        .put(12, integer(3));
  }
  for (std::uint32_t i = 1; i <= static_cast<std::uint32_t>(m.console_lines); ++i) {
    Row(m.mib, prt({16, 5, 1}), {device, i}).put(2, SlotKind::console_text, i);
  }
  for (std::uint32_t i = 1; i <= m.lights.size(); ++i) {
    Row(m.mib, prt({17, 6, 1}), {device, i})
        .put(2, SlotKind::light_on, i)
        .put(3, SlotKind::light_off, i)
        .put(4, integer(m.lights[i - 1].color))
        .put(5, text(m.encode(m.lights[i - 1].name)));
  }
}

void add_port_monitor(Model& m) {
  const Oid base{1, 3, 6, 1, 4, 1, 2699, 1, 2, 1};
  const auto under = [&](std::initializer_list<std::uint32_t> rest) {
    Oid oid = base;
    oid.insert(oid.end(), rest);
    return oid;
  };
  Row(m.mib, under({1}), {0})
      .put(1, text(m.language))
      .put(2, natural(1, ber::gauge32))
      .put(3, natural(m.channels.size(), ber::gauge32));
  Row(m.mib, under({2, 1, 1}), {1})
      .put(2, SlotKind::printer_name)
      .put(3, SlotKind::device_id)
      .put(4, natural(m.channels.size(), ber::gauge32))
      .put(5, integer(m.channels.empty() ? 0 : 1))
      .put(6, integer(m.device_index))
      .put(8, integer(1));
  for (std::uint32_t i = 1; i <= m.channels.size(); ++i) {
    Row(m.mib, under({3, 1, 1}), {1, i})
        .put(2, integer(1))
        .put(5, integer(m.channels[i - 1].type))
        .put(6, integer(0))
        .put(8, integer(i));
  }
}

}  // namespace

void build_mib(Model& model) {
  const auto device = static_cast<std::uint32_t>(model.device_index);
  add_system(model);
  add_host(model);
  add_general(model, device);
  add_media(model, device);
  add_marking(model, device);
  add_speaking(model, device);
  add_port_monitor(model);
  for (std::uint32_t column = 1; column <= 9; ++column) model.mib.add_object(prt({18, 1, 1, column}));
  for (const auto& prefix : model.lacks) model.mib.remove(prefix);
  model.mib.finish();
}

}  // namespace frisket::simfleet
