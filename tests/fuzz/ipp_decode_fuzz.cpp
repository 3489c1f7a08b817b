// Octets as an IPP answer, all the way to the readings (probes/ipp): the way a hostile printer gets in.
//
// Checked besides: what is accepted can be written and read again, and a part of it is not accepted.
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "probes/ipp/codec.h"
#include "probes/ipp/device_decode.h"
#include "probes/ipp/queue_decode.h"

using namespace frisket;  // NOLINT(google-build-using-namespace)

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view octets(reinterpret_cast<const char*>(data), size);
  auto decoded = ipp::decode(octets);
  if (!decoded) return 0;
  if (decoded->octets > size) std::abort();
  if (ipp::decode(octets.substr(0, decoded->octets - 1))) std::abort();
  for (const auto& group : decoded->message.groups) {
    const auto queue = ipp::queue_from(group);
    const auto device = ipp::device_from(group);
    const auto job = ipp::job_from(group, queue.up_time);
    for (const auto& supply : device.supplies)
      if (!model::is_utf8(supply.description) || !model::is_utf8(supply.colorant)) std::abort();
    for (const auto& reason : queue.reasons)
      if (!model::is_utf8(reason.keyword)) std::abort();
    if (job && (!model::is_utf8(job->personal.name) || job->personal.name.size() > model::kMaxText)) std::abort();
  }
  // A request can say less than an answer (no empty groups, shorter texts): failing to write is no fault.
  if (auto written = ipp::encode(decoded->message)) {
    auto again = ipp::decode(*written);
    if (!again || again->message.groups.size() != decoded->message.groups.size()) std::abort();
  }
  return 0;
}
