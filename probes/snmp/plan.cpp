#include "probes/snmp/plan.h"

namespace frisket::snmp {
namespace {

// The index of a cell of the given column with exactly one index number.
std::optional<std::uint32_t> index_in(const VarBind& cell, const mib::Object& column) {
  const auto name = cell.name.view();
  if (!present(cell.value) || !starts_with(name, column.oid()) || name.size() != column.length + 1) return std::nullopt;
  return name.back();
}

}  // namespace

std::vector<Oid> index_names() {
  return {Oid(mib::object_of(mib::scalar::hr_printer_status).oid()),
          Oid(mib::object_of(mib::scalar::prt_general_config_changes).oid()), Oid(mib::hr_device_type.oid())};
}

std::optional<DeviceIndex> index_from(const std::vector<VarBind>& answer) {
  if (answer.size() < 3) return std::nullopt;
  auto host = index_in(answer[0], mib::object_of(mib::scalar::hr_printer_status));
  const auto printer = index_in(answer[1], mib::object_of(mib::scalar::prt_general_config_changes));
  if (!host) {
    const auto* type = std::get_if<Oid>(&answer[2].value);
    if (type != nullptr && compare(*type, mib::hr_device_printer.oid()) == 0) {
      host = index_in(answer[2], mib::hr_device_type);
    }
  }
  if (!host && !printer) return std::nullopt;
  return DeviceIndex{host ? *host : *printer, printer ? *printer : *host};
}

Oid scalar_name(mib::scalar::Id id, DeviceIndex index) {
  const auto& scalar = mib::scalars[id];
  Oid name(scalar.object.oid());
  switch (scalar.instance) {
    case mib::Instance::zero:
      return name.append(0);
    case mib::Instance::host_index:
      return name.append(index.host);
    case mib::Instance::printer_index:
      return name.append(index.printer);
  }
  return name;
}

std::vector<Oid> scalar_names(DeviceIndex index) {
  std::vector<Oid> names;
  names.reserve(mib::scalars.size());
  for (std::size_t id = 0; id < mib::scalars.size(); ++id)
    names.push_back(scalar_name(static_cast<mib::scalar::Id>(id), index));
  return names;
}

}  // namespace frisket::snmp
