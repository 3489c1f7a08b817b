// What discovery found at one address, as values.
//
// All texts are from devices: bounded UTF-8 (probes/model/text.h), to be escaped by whoever writes
// them. Pure values; any thread.
#pragma once

#include <boost/asio/ip/address.hpp>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "probes/model/device.h"
#include "probes/model/identity.h"

namespace frisket::discovery {

enum class Kind {
  printer,
  other,     // an SNMP agent that is no printer
  refused,   // an agent that lets nobody read with the credentials at hand
  nonsense,  // something answers, but not with SNMP
};

std::string_view word_for(Kind kind);  // "printer", "other", "refused", "nonsense"

// One row of hrDeviceTable or prtGeneralTable that is a printer.
struct PrinterRow {
  std::uint32_t index = 0;  // hrDeviceIndex
  std::string description;  // hrDeviceDescr
  std::string name;         // prtGeneralPrinterName
  std::string serial;       // prtGeneralSerialNumber
  bool in_printer_mib = false;
  friend bool operator==(const PrinterRow&, const PrinterRow&) = default;
};

struct Found {
  boost::asio::ip::address address;
  Kind kind = Kind::other;
  std::string description;     // sysDescr, or why nothing is known
  std::size_t credential = 0;  // place in the list of those that were tried; printers and others only

  // Printers only. The snapshot is of the first of the rows; null when the agent went silent
  // while it was read.
  std::vector<PrinterRow> rows;
  std::shared_ptr<const model::DeviceSnapshot> snapshot;
  std::optional<std::int32_t> process_colorants;  // prtMarkerProcessColorants, the most of any marker
};

// What a printer can do, as far as it says so.
struct Capabilities {
  // Whether any media path turns the sheet (PrtMediaPathTypeTC); nothing when no path says.
  std::optional<bool> duplex;
  bool long_edge = false;
  bool short_edge = false;
  // Three process colorants or more (RFC 3805 prtMarkerProcessColorants, else the rows of
  // prtMarkerColorantTable of that role); nothing when neither is said.
  std::optional<std::int32_t> colorants;
  std::optional<bool> color;
};
Capabilities capabilities_of(const Found& printer);

// As model::identity_of(), with what the row has where the snapshot says nothing.
struct Identity : model::Identity {
  std::string description;  // hrDeviceDescr, or sysDescr where that is missing
};
Identity identity_of(const Found& printer);

}  // namespace frisket::discovery
