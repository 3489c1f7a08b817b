#include "tests/simfleet/control.h"

#include "tests/simfleet/toml_reader.h"

namespace frisket::simfleet {
namespace {

std::string_view trimmed(std::string_view text) {
  while (text.starts_with(' ')) text.remove_prefix(1);
  while (text.ends_with(' ') || text.ends_with('\r')) text.remove_suffix(1);
  return text;
}

std::string hex(std::string_view octets) {
  std::string out;
  for (const char c : octets) {
    constexpr char digits[] = "0123456789abcdef";
    out += digits[(static_cast<unsigned char>(c) >> 4) & 0xF];
    out += digits[static_cast<unsigned char>(c) & 0xF];
  }
  return out;
}

}  // namespace

FleetTime::FleetTime(double speed, bool manual, std::function<std::chrono::nanoseconds()> real)
    : speed_(speed), manual_(manual), real_(std::move(real)), started_(real_()) {}

SimTime FleetTime::now() const {
  if (manual_) return added_;
  const auto passed = std::chrono::duration<double, std::milli>(real_() - started_).count();
  return SimTime(static_cast<std::int64_t>(passed * speed_)) + added_;
}

Control::Control(Fleet& fleet, FleetTime& time, const Server& server, std::function<void()> quit)
    : fleet_(fleet), time_(time), server_(server), quit_(std::move(quit)) {}

std::string Control::answer(std::string_view line) {
  line = trimmed(line);
  const auto word = line.substr(0, line.find(' '));
  const auto rest = trimmed(line.substr(word.size()));
  if (word == "advance") return advance(rest);
  if (word == "time") return "ok " + std::to_string(time_.now().count()) + "ms";
  if (word == "devices") {
    std::string names = "ok";
    for (const auto& device : fleet_.devices) names += " " + device->identity().name;
    return names;
  }
  if (word == "served") {
    const auto& s = server_.served();
    return "ok received=" + std::to_string(s.received) + " answered=" + std::to_string(s.answered) +
           " malformed=" + std::to_string(s.malformed) + " wrongCommunity=" + std::to_string(s.wrong_community) +
           " notSent=" + std::to_string(s.not_sent);
  }
  if (word == "quit") {
    quit_();
    return "ok";
  }
  if (word == "all") {
    std::string wrong;
    for (const auto& device : fleet_.devices) {
      const auto said = device_command(device->identity().name, rest);
      if (!said.starts_with("ok")) wrong = said;
    }
    return wrong.empty() ? "ok " + std::to_string(fleet_.devices.size()) : wrong;
  }
  return device_command(word, rest);
}

std::string Control::advance(std::string_view duration) {
  const auto by = parse_milliseconds(duration);
  if (!by) return "error advance: allowed: a duration such as \"30s\"";
  time_.advance(SimTime(*by));
  fleet_.advance_to(time_.now());
  return "ok " + std::to_string(time_.now().count()) + "ms";
}

std::string Control::device_command(std::string_view name, std::string_view rest) {
  const auto found = fleet_.by_name.find(name);
  if (found == fleet_.by_name.end()) {
    return "error \"" + std::string(name) +
           "\" is neither a device nor one of advance, all, devices, quit, served, time";
  }
  auto& device = *found->second;
  const auto now = time_.now();
  device.advance_to(now);
  if (rest == "state") return "ok " + device.summary();
  if (rest == "requests") return "ok " + std::to_string(device.requests);
  if (rest == "address") return "ok " + address_text(device.identity().address);
  if (rest.starts_with("get ")) return get(device, trimmed(rest.substr(4)));
  auto parsed = parse_event(rest, device.model());
  if (const auto* wrong = std::get_if<std::string>(&parsed)) return "error " + *wrong;
  device.apply(std::get<Event>(parsed), now);
  return "ok";
}

// The encoded value in hexadecimal: what would go out, whatever the faults.
std::string Control::get(const Device& device, std::string_view text) const {
  const auto oid = ber::parse_oid(text);
  if (!oid) return "error get: allowed: an OID in numbers";
  std::string name;
  ber::append_oid(name, *oid);
  const auto view = device.view(time_.now());
  const auto value = view.find(name);
  return value ? "ok " + hex(*value) : "error no such object";
}

}  // namespace frisket::simfleet
