#include "probes/discovery/agent_read.h"

#include <algorithm>
#include <array>
#include <iterator>
#include <utility>
#include <vector>

#include "probes/model/text.h"
#include "probes/snmp/conversation.h"
#include "probes/snmp/device_probe.h"
#include "probes/snmp/printer_mib.h"

namespace frisket::discovery {
namespace {

namespace asio = boost::asio;
namespace mib = snmp::mib;

// Hosts that are no printers list processors, disks and interfaces here, printers seldom more than a few rows.
constexpr std::size_t kMostHostDevices = 256;
constexpr std::size_t kMostPrinters = 16;

namespace host_device {
enum Column : std::size_t { type, description };
constexpr std::array columns{mib::hr_device_type, mib::object_of(mib::scalar::hr_device_descr)};
constexpr mib::Table table{"host devices", columns, kMostHostDevices, mib::Indexing::row};
}  // namespace host_device

namespace general {
enum Column : std::size_t { config_changes, name, serial };
constexpr std::array columns{mib::object_of(mib::scalar::prt_general_config_changes),
                             mib::object_of(mib::scalar::prt_general_printer_name),
                             mib::object_of(mib::scalar::prt_general_serial_number)};
constexpr mib::Table table{"printers", columns, kMostPrinters, mib::Indexing::row};
}  // namespace general

namespace marker {
constexpr std::array columns{mib::object("prtMarkerProcessColorants", "1.3.6.1.2.1.43.10.2.1.6")};
constexpr mib::Table table{"marker colorants", columns, 128};
}  // namespace marker

// The charset of these texts is not known yet: what is not UTF-8 is taken for Latin-1.
std::string text_in(const snmp::Value& value) {
  const auto* octets = std::get_if<snmp::Octets>(&value);
  return octets == nullptr ? std::string{} : model::decode_text(octets->value, model::Charset::utf8);
}

using Rows = std::vector<PrinterRow>;

Rows host_printers(const snmp::TableRows& table) {
  Rows printers;
  for (const auto& row : table.rows) {
    const auto* type = std::get_if<snmp::Oid>(&row.cells[host_device::type]);
    if (type == nullptr || snmp::compare(*type, mib::hr_device_printer.oid()) != 0) continue;
    if (printers.size() == kMostPrinters) break;
    PrinterRow printer;
    printer.index = static_cast<std::uint32_t>(row.index);
    printer.description = text_in(row.cells[host_device::description]);
    printers.push_back(std::move(printer));
  }
  return printers;
}

Rows mib_printers(const snmp::TableRows& table) {
  Rows printers;
  for (const auto& row : table.rows) {
    PrinterRow printer;
    printer.index = static_cast<std::uint32_t>(row.index);
    printer.name = text_in(row.cells[general::name]);
    printer.serial = text_in(row.cells[general::serial]);
    printer.in_printer_mib = true;
    printers.push_back(std::move(printer));
  }
  return printers;
}

asio::awaitable<Rows> find_printers(snmp::Conversation& talk) {
  snmp::TableMemory memory;
  const auto hosts = co_await talk.read(host_device::table, 0, memory);
  memory = {};
  const auto printers = co_await talk.read(general::table, 0, memory);
  co_return join_rows(host_printers(hosts), mib_printers(printers));
}

std::optional<std::int32_t> number_in(const snmp::Value& value) {
  const auto* number = std::get_if<snmp::Integer>(&value);
  return number == nullptr ? std::nullopt : std::optional(number->value);
}

asio::awaitable<std::optional<std::int32_t>> most_colorants(snmp::Conversation& talk, std::uint32_t printer) {
  std::optional<std::int32_t> most;
  snmp::TableMemory memory;
  const auto markers = co_await talk.read(marker::table, printer, memory);
  for (const auto& row : markers.rows) {
    const auto colorants = number_in(row.cells[0]);
    if (colorants && (!most || *colorants > *most)) most = colorants;
  }
  co_return most;
}

}  // namespace

std::vector<PrinterRow> join_rows(std::vector<PrinterRow> hosts, std::vector<PrinterRow> printers) {
  const auto take = [&](PrinterRow& into, std::vector<PrinterRow>::iterator from) {
    into.description = std::move(from->description);
    hosts.erase(from);
  };
  for (auto& printer : printers) {
    const auto same = std::ranges::find(hosts, printer.index, &PrinterRow::index);
    if (same != hosts.end()) take(printer, same);
  }
  for (auto& printer : printers) {
    if (printer.description.empty() && !hosts.empty()) take(printer, hosts.begin());
  }
  std::ranges::move(hosts, std::back_inserter(printers));
  return printers;
}

snmp::Request first_question() {
  snmp::Request request;
  request.operation = snmp::Operation::get_next;
  request.names = {snmp::Oid(mib::object_of(mib::scalar::sys_descr).oid())};
  return request;
}

std::string description_in(const snmp::Response& answer) {
  if (answer.error_status != snmp::ErrorStatus::no_error || answer.variables.empty()) return {};
  const auto& variable = answer.variables.front();
  const auto wanted = mib::object_of(mib::scalar::sys_descr).oid();
  return snmp::starts_with(variable.name, wanted) ? text_in(variable.value) : std::string{};
}

asio::awaitable<Found> read_agent(snmp::Network& network, Clock& clock, snmp::Endpoint peer,
                                  config::Credential credential, std::string description) {
  Found found;
  found.address = peer.address();
  found.description = std::move(description);
  const snmp::Patience patience{network.polling().timeout, network.polling().attempts};
  snmp::Conversation talk(network, clock, peer, credential, patience);
  auto rows = co_await find_printers(talk);
  if (rows.empty()) co_return found;
  found.kind = Kind::printer;
  found.rows = std::move(rows);

  config::Device device;
  device.name = device.address = peer.address().to_string();
  device.port = peer.port();
  const auto credentials = std::make_shared<const std::vector<config::Credential>>(1, credential);
  snmp::DeviceProbe probe(network, clock, device, credentials);
  auto reading = co_await probe.poll();
  found.snapshot = std::move(reading.snapshot);
  found.process_colorants = co_await most_colorants(talk, found.rows.front().index);
  co_return found;
}

}  // namespace frisket::discovery
