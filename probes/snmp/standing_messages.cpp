#include "probes/snmp/standing_messages.h"

#include <algorithm>

#include "probes/snmp/request_table.h"

namespace frisket::snmp {

std::string_view StandingMessage::with_id(std::int32_t id) {
  static_assert(RequestTable::kFirstId >= 1 << 23, "shorter ids would be encoded in fewer octets");
  auto bits = static_cast<std::uint32_t>(id);
  for (std::size_t i = 4; i-- > 0; bits >>= 8U) octets_[id_at_ + i] = static_cast<char>(bits & 0xffU);
  return octets_;
}

std::shared_ptr<StandingMessage> StandingMessages::of(const std::string& octets, std::uint16_t id_at) {
  auto& known = known_[octets];
  if (auto message = known.lock()) return message;
  auto message = std::make_shared<StandingMessage>(octets, id_at);
  known = message;
  if (known_.size() >= sweep_at_) {
    std::erase_if(known_, [](const auto& each) { return each.second.expired(); });
    sweep_at_ = std::max<std::size_t>(64, 2 * known_.size());
  }
  return message;
}

}  // namespace frisket::snmp
