#include "probes/discovery/found.h"

#include <algorithm>

#include "probes/model/designation.h"
#include "probes/model/identity.h"

namespace frisket::discovery {
namespace {

constexpr std::int32_t kLeastOfColor = 3;

std::optional<std::int32_t> colorants_of(const Found& printer) {
  if (printer.process_colorants && *printer.process_colorants > 0) return printer.process_colorants;
  if (!printer.snapshot || printer.snapshot->colorants.empty()) return std::nullopt;
  const auto count =
      std::ranges::count(printer.snapshot->colorants, model::ColorantRole::process, &model::Colorant::role);
  return static_cast<std::int32_t>(count);
}

const std::string& first_said(const std::string& a, const std::string& b) { return a.empty() ? b : a; }

}  // namespace

std::string_view word_for(Kind kind) {
  switch (kind) {
    case Kind::printer:
      return "printer";
    case Kind::other:
      return "other";
    case Kind::refused:
      return "refused";
    case Kind::nonsense:
      return "nonsense";
  }
  return "other";
}

Capabilities capabilities_of(const Found& printer) {
  Capabilities can;
  can.colorants = colorants_of(printer);
  if (can.colorants) can.color = *can.colorants >= kLeastOfColor;
  if (!printer.snapshot) return can;
  bool said = false;
  for (const auto& path : printer.snapshot->media_paths) {
    can.long_edge = can.long_edge || path.type == model::MediaPathType::long_edge_binding_duplex;
    can.short_edge = can.short_edge || path.type == model::MediaPathType::short_edge_binding_duplex;
    said = said || path.type == model::MediaPathType::simplex;
  }
  const bool duplex = can.long_edge || can.short_edge;
  if (duplex || said) can.duplex = duplex;
  return can;
}

Identity identity_of(const Found& printer) {
  static const PrinterRow kNoRow;
  static const model::DeviceSnapshot kNothingSaid;
  const auto& row = printer.rows.empty() ? kNoRow : printer.rows.front();
  const auto& said = printer.snapshot ? *printer.snapshot : kNothingSaid;
  Identity identity;
  static_cast<model::Identity&>(identity) = model::identity_of(said);
  // The row is known to be a printer's; the snapshot may be of row 1, where that is none.
  identity.description = first_said(row.description, first_said(said.host.description, printer.description));
  if (model::device_id_of(said).empty()) {
    auto designation = model::designation_of(identity.description);
    identity.maker = std::move(designation.maker);
    identity.model = std::move(designation.model);
  }
  if (identity.serial.empty()) identity.serial = row.serial;
  return identity;
}

}  // namespace frisket::discovery
