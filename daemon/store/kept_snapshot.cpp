#include "daemon/store/kept_snapshot.h"

#include "daemon/store/kept_device.h"

namespace frisket::store {
namespace {

std::int32_t wire_of(model::Unlimited) { return -1; }
std::int32_t wire_of(model::Unknown) { return -2; }
std::int32_t wire_of(model::SomeLeft) { return -3; }
std::int32_t wire_of(model::Amount amount) { return amount.units; }

std::int32_t wire_from(const Json& json, Misfit& misfit) {
  std::int32_t wire = -2;
  Kept<std::int32_t>::from(json, wire, misfit);
  return wire;
}

}  // namespace

Json Kept<model::Level>::to(const model::Level& level) {
  return std::visit([](const auto& meaning) { return wire_of(meaning); }, level);
}

void Kept<model::Level>::from(const Json& json, model::Level& level, Misfit& misfit) {
  level = model::decode_level(wire_from(json, misfit));
}

Json Kept<model::Capacity>::to(const model::Capacity& capacity) {
  return std::visit([](const auto& meaning) { return wire_of(meaning); }, capacity);
}

void Kept<model::Capacity>::from(const Json& json, model::Capacity& capacity, Misfit& misfit) {
  capacity = model::decode_capacity(wire_from(json, misfit));
}

Json Kept<model::SubunitStatus>::to(const model::SubunitStatus& status) {
  return static_cast<int>(status.availability) + 8 * status.non_critical_alerts + 16 * status.critical_alerts +
         32 * status.off_line + 64 * status.transitioning;
}

void Kept<model::SubunitStatus>::from(const Json& json, model::SubunitStatus& status, Misfit& misfit) {
  status = model::SubunitStatus::decode(wire_from(json, misfit));
}

Json Kept<model::ErrorBits>::to(const model::ErrorBits& bits) {
  Json words = Json::array();
  for (const auto bit : bits.list()) words.push_back(std::string(model::to_text(bit)));
  return words;
}

void Kept<model::ErrorBits>::from(const Json& json, model::ErrorBits& bits, Misfit& misfit) {
  std::vector<model::ErrorBit> words;
  Kept<std::vector<model::ErrorBit>>::from(json, words, misfit);
  std::string octets(2, '\0');
  for (const auto bit : words) {
    const auto place = static_cast<unsigned>(bit);
    octets[place / 8] = static_cast<char>(static_cast<unsigned char>(octets[place / 8]) | (0x80U >> (place % 8)));
  }
  bits = model::ErrorBits::decode(octets);
}

std::string kept_text(const model::DeviceSnapshot& snapshot) { return text_of(snapshot); }

model::Result<model::DeviceSnapshot> snapshot_from(std::string_view text) {
  return value_of<model::DeviceSnapshot>(text, "a kept snapshot");
}

}  // namespace frisket::store
