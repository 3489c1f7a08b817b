#include "probes/discovery/report.h"

#include <toml++/toml.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>
#include <utility>

#include "probes/discovery/naming.h"
#include "probes/model/text.h"

namespace frisket::discovery {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kLongestComment = 255;
constexpr std::ptrdiff_t kMostDots = 32;  // the loader refuses lines of more than a hundred
constexpr std::uint16_t kDefaultPort = 161;

// Comments end with the line: what could end it early is gone since decode_text(). Once more, since
// here a slip would be configuration.
std::string comment_text(const std::string& text) {
  return model::decode_text(text, model::Charset::utf8, kLongestComment);
}

std::string count_text(std::uint64_t count, std::string_view one, std::string_view many) {
  return std::to_string(count) + " " + std::string(count == 1 ? one : many);
}

void add_part(std::string& list, std::string_view separator, const std::string& part) {
  if (part.empty()) return;
  if (!list.empty()) list += separator;
  list += part;
}

std::string languages_text(const model::DeviceSnapshot& said) {
  std::string text;
  for (const auto& interpreter : said.interpreters) {
    auto language = label(interpreter.family);
    if (!interpreter.level.empty()) language += " " + interpreter.level;
    add_part(text, ", ", language);
  }
  return text;
}

std::string channels_text(const model::DeviceSnapshot& said) {
  std::string text;
  for (const auto& channel : said.channels) add_part(text, ", ", label(channel.type));
  return text;
}

std::string duplex_text(const Capabilities& can) {
  if (!can.duplex) return {};
  if (!*can.duplex) return "simplex";
  std::string edges;
  if (can.long_edge) add_part(edges, " and ", "long edge");
  if (can.short_edge) add_part(edges, " and ", "short edge");
  return "duplex (" + edges + ")";
}

std::string color_text(const Capabilities& can) {
  if (!can.colorants) return {};
  return (*can.color ? "color, " : "no color, ") +
         count_text(static_cast<std::uint64_t>(*can.colorants), "process colorant", "process colorants");
}

std::string labelled(std::string_view name, const std::string& value) {
  return value.empty() ? std::string{} : std::string(name) + " " + value;
}

void add_comment(std::string& out, const std::string& text) {
  const auto tidy = comment_text(text);
  if (!tidy.empty()) out += "# " + tidy + "\n";
}

void add_comments(std::string& out, const Item& item) {
  const auto identity = identity_of(item.found);
  const auto can = capabilities_of(item.found);
  std::string line = identity.description;
  add_part(line, ", ", labelled("serial", identity.serial));
  add_part(line, ", ", labelled("firmware", identity.firmware));
  add_comment(out, line);
  if (item.found.snapshot) {
    add_comment(out, labelled("languages:", languages_text(*item.found.snapshot)));
    add_comment(out, labelled("channels:", channels_text(*item.found.snapshot)));
  } else {
    add_comment(out, "went silent while it was read");
  }
  line.clear();
  add_part(line, "; ", duplex_text(can));
  add_part(line, "; ", color_text(can));
  add_comment(out, line);
  if (item.found.rows.size() > 1) {
    add_comment(out, count_text(item.found.rows.size(), "printer", "printers") +
                         " behind this agent; the first is what is polled:");
    for (const auto& row : item.found.rows) {
      std::string printer = "  hrDeviceIndex " + std::to_string(row.index);
      add_part(printer, ", ", row.description);
      add_part(printer, ", ", row.name);
      add_part(printer, ", ", labelled("serial", row.serial));
      add_comment(out, printer);
    }
  }
  if (!item.same_serial_as.empty())
    add_comment(out, "has the serial number of " + item.same_serial_as + ": perhaps one machine with two addresses");
}

void add_device(std::string& out, const Item& item, const Report& report) {
  out += "\n";
  add_comments(out, item);
  out +=
      "[[device]]\nname = " + toml_text(item.name) + "\naddress = " + toml_text(item.found.address.to_string()) + "\n";
  if (report.port != kDefaultPort) out += "port = " + std::to_string(report.port) + "\n";
  out += "site = " + toml_text(report.site) + "\n";
  const auto* said = item.found.snapshot.get();
  if (said != nullptr && !said->system.location.empty()) out += "location = " + toml_text(said->system.location) + "\n";
  out += "credentials = [" + toml_text(item.credential) + "]\n";
}

void add_stubs(std::string& out, const Report& report) {
  if (report.items.empty()) return;
  if (report.new_site) {
    out += "\n# The place that these printers stand at; its time zone is yours to put in.\n[[site]]\nname = " +
           toml_text(report.site) + "\ntime_zone = \"UTC\"\n";
  }
  const bool used = std::ranges::find(report.items, report.new_credential, &Item::credential) != report.items.end();
  if (report.new_credential.empty() || !used) return;
  const auto* version = report.new_credential_version == config::SnmpVersion::v1 ? "1" : "2c";
  out += "\n[[credential]]\nname = " + toml_text(report.new_credential) + "\nversion = " + toml_text(version) +
         "\ncommunity_file = " + toml_text(report.community_file) + "\n";
}

void add_others(std::string& out, const Report& report) {
  if (report.others.empty()) return;
  out += "\n";
  add_comment(out, "Also answering, and no printer as far as can be seen:");
  for (const auto& other : report.others) {
    std::string line = "  " + other.address.to_string();
    if (other.kind != Kind::other) line += " (" + std::string(word_for(other.kind)) + ")";
    add_part(line, ": ", other.description);
    out += "#  " + comment_text(line) + "\n";
  }
}

template <class T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json();
}

Json languages_form(const model::DeviceSnapshot& said) {
  Json list = Json::array();
  for (const auto& interpreter : said.interpreters) {
    list.push_back({{"family", label(interpreter.family)},
                    {"level", interpreter.level},
                    {"version", interpreter.language_version},
                    {"description", interpreter.description}});
  }
  return list;
}

Json channels_form(const model::DeviceSnapshot& said) {
  Json list = Json::array();
  for (const auto& channel : said.channels) {
    list.push_back(
        {{"type", label(channel.type)}, {"version", channel.protocol_version}, {"information", channel.information}});
  }
  return list;
}

Json printers_form(const Found& found) {
  Json list = Json::array();
  for (const auto& row : found.rows) {
    list.push_back(
        {{"index", row.index}, {"description", row.description}, {"name", row.name}, {"serial", row.serial}});
  }
  return list;
}

Json item_form(const Item& item, const Report& report) {
  static const model::DeviceSnapshot kNothingSaid;
  const auto& found = item.found;
  const auto& said = found.snapshot ? *found.snapshot : kNothingSaid;
  const auto identity = identity_of(found);
  const auto can = capabilities_of(found);
  Json bindings = Json::array();
  if (can.long_edge) bindings.push_back("long-edge");
  if (can.short_edge) bindings.push_back("short-edge");
  Json form;
  form["name"] = item.name;
  form["address"] = found.address.to_string();
  form["port"] = report.port;
  form["site"] = report.site;
  form["location"] = said.system.location;
  form["credentials"] = Json::array({item.credential});
  form["maker"] = identity.maker;
  form["model"] = identity.model;
  form["serial"] = identity.serial;
  form["firmware"] = identity.firmware;
  form["description"] = identity.description;
  form["system_name"] = said.system.name;
  form["system_description"] = said.system.description;
  form["object_id"] = said.system.object_id;
  form["languages"] = languages_form(said);
  form["channels"] = channels_form(said);
  form["duplex"] = or_null(can.duplex);
  form["duplex_bindings"] = std::move(bindings);
  form["color"] = or_null(can.color);
  form["process_colorants"] = or_null(can.colorants);
  form["printers"] = printers_form(found);
  form["same_serial_as"] = item.same_serial_as.empty() ? Json() : Json(item.same_serial_as);
  form["whole"] = found.snapshot != nullptr;
  return form;
}

}  // namespace

std::string toml_text(const std::string& text) {
  std::ostringstream out;
  const toml::value<std::string> value(text);
  // Basic strings only: literal and multi-line ones have rules of their own.
  out << toml::toml_formatter(value, toml::format_flags::allow_unicode_strings);
  auto written = std::move(out).str();
  if (std::ranges::count(written, '.') <= kMostDots) return written;
  std::string without_dots;
  for (const char c : written) {
    if (c == '.') {
      without_dots += "\\u002E";
    } else {
      without_dots += c;
    }
  }
  return without_dots;
}

Report make_report(std::vector<Found> found, const config::Config* configured,
                   const std::vector<config::Credential>& credentials) {
  std::ranges::sort(found, {}, &Found::address);
  Report report;
  UniqueNames names;
  if (configured != nullptr) {
    for (const auto& device : configured->devices) names.reserve(device.name);
  }
  std::map<std::string, std::string> serials;  // to the name of the first that has it
  for (auto& one : found) {
    if (one.kind != Kind::printer) {
      report.others.push_back(std::move(one));
      continue;
    }
    Item item;
    item.name = names.unique(name_for(one));
    item.credential = credentials.at(one.credential).name;
    const auto identity = identity_of(one);
    if (!identity.serial.empty()) {
      const auto [first, fresh] = serials.try_emplace(identity.model + " " + identity.serial, item.name);
      if (!fresh) item.same_serial_as = first->second;
    }
    item.found = std::move(one);
    report.items.push_back(std::move(item));
  }
  return report;
}

std::string to_toml(const Report& report) {
  std::string out;
  add_comment(out, count_text(report.items.size(), "printer", "printers") + " found, " +
                       count_text(report.others.size(), "other agent", "other agents") + ", " +
                       count_text(report.tally.asked, "address", "addresses") + " asked, " +
                       std::to_string(report.skipped) + " skipped since they are configured.");
  if (!report.complete) add_comment(out, "Interrupted: the rest was not asked.");
  add_stubs(out, report);
  for (const auto& item : report.items) add_device(out, item, report);
  add_others(out, report);
  return out;
}

std::string to_json(const Report& report) {
  Json items = Json::array();
  for (const auto& item : report.items) items.push_back(item_form(item, report));
  Json others = Json::array();
  for (const auto& other : report.others) {
    others.push_back({{"address", other.address.to_string()},
                      {"port", report.port},
                      {"kind", word_for(other.kind)},
                      {"description", other.description}});
  }
  Json form;
  form["items"] = std::move(items);
  form["others"] = std::move(others);
  form["asked"] = report.tally.asked;
  form["answered"] = report.tally.answered;
  form["silent"] = report.tally.silent;
  form["skipped"] = report.skipped;
  form["complete"] = report.complete;
  return form.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace frisket::discovery
