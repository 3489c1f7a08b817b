#include "probes/ipp/device_probe.h"

#include <memory>

#include "probes/ipp/device_decode.h"
#include "probes/ipp/operations.h"

namespace frisket::ipp {
namespace {

using model::Reach;
using Kind = model::Error::Kind;

Reach reach_of(const model::Error& error) {
  switch (error.kind) {
    case Kind::silent:
      return Reach::silent;
    case Kind::refused:
      return Reach::refused;
    default:
      return Reach::nonsense;
  }
}

}  // namespace

boost::asio::awaitable<model::DeviceReading> DeviceProbe::poll() {
  model::DeviceReading reading;
  reading.device = device_;
  auto reply = co_await get_printer_attributes(client_, device_attributes());
  reading.at = clock_.wall_now();
  const auto* printer = reply && reply->ok() ? reply->message.first(GroupTag::printer) : nullptr;
  if (printer == nullptr) {
    auto error = reply ? error_of(*reply, "Get-Printer-Attributes", client_.target().uri) : reply.error();
    if (reply && reply->ok())
      error = {Kind::nonsense, error.doing, error.whom, "its answer says nothing about a printer"};
    reading.reach = reach_of(error);
    reading.detail = error.text();
    co_return reading;
  }
  reading.reach = Reach::answered;
  reading.snapshot = std::make_shared<const model::DeviceSnapshot>(device_from(*printer));
  co_return reading;
}

}  // namespace frisket::ipp
