// Random changes of a device, for the property tests: the same seed, the same life.
#pragma once

#include <algorithm>
#include <random>
#include <string>
#include <vector>

#include "fixtures.h"

namespace frisket::incidents::testing {

class Chance {
 public:
  explicit Chance(unsigned seed) : engine_(seed) {}
  int between(int low, int high) { return std::uniform_int_distribution<int>(low, high)(engine_); }
  bool once_in(int n) { return between(1, n) == 1; }
  template <class Rows>
  void shuffle(Rows& rows) {
    std::shuffle(rows.begin(), rows.end(), engine_);
  }

 private:
  std::mt19937 engine_;
};

inline model::Alert random_alert(Chance& chance, std::int32_t index) {
  static const std::vector<std::int32_t> kCodes = [] {
    std::vector<std::int32_t> codes;
    for (const auto& row : model::listed<model::AlertCode>()) codes.push_back(row.value);
    for (const std::int32_t code : {30203, 30208, 30212, 30213, 30824, 31815, 4711}) codes.push_back(code);
    return codes;
  }();
  model::Alert row;
  row.index = index;
  row.severity = static_cast<model::AlertSeverity>(chance.between(1, 5));
  row.group = static_cast<model::AlertGroup>(chance.between(4, 14));
  row.group_index = chance.between(-1, 3);
  row.code = static_cast<model::AlertCode>(
      kCodes[static_cast<std::size_t>(chance.between(0, static_cast<int>(kCodes.size()) - 1))]);
  row.training = static_cast<model::AlertTraining>(chance.between(1, 7));
  if (chance.once_in(2)) row.description = "text " + std::to_string(chance.between(1, 3));
  return row;
}

inline void change_something(Chance& chance, model::DeviceSnapshot& snapshot, std::int32_t& next_row) {
  const auto level = [&]() -> model::Level {
    const int kind = chance.between(1, 8);
    if (kind == 1) return model::SomeLeft{};
    if (kind == 2) return model::Unknown{};
    return model::Amount{chance.once_in(3) ? 0 : chance.between(0, 30)};
  };
  switch (chance.between(1, 9)) {
    case 1:
      snapshot.covers[static_cast<std::size_t>(chance.between(0, 1))].status =
          static_cast<model::CoverStatus>(chance.between(1, 6));
      break;
    case 2:
      snapshot.supplies[static_cast<std::size_t>(chance.between(0, 1))].level = level();
      break;
    case 3:
      snapshot.inputs[static_cast<std::size_t>(chance.between(0, 2))].current_level = level();
      break;
    case 4:
      snapshot.inputs[static_cast<std::size_t>(chance.between(0, 2))].status =
          model::SubunitStatus::decode(chance.between(0, 127));
      break;
    case 5:
      snapshot.outputs[0].remaining_capacity = level();
      break;
    case 6:
      snapshot.host.errors =
          model::ErrorBits::decode(std::string{static_cast<char>(chance.between(0, 255) & chance.between(0, 255)),
                                               static_cast<char>(chance.between(0, 255) & chance.between(0, 255))});
      break;
    case 7:
      snapshot.host.device = static_cast<model::HostDeviceStatus>(chance.between(1, 5));
      snapshot.host.printer = static_cast<model::HostPrinterStatus>(chance.between(1, 5));
      break;
    case 8:
      snapshot.alerts.push_back(random_alert(chance, next_row++));
      break;
    default:
      if (!snapshot.alerts.empty())
        snapshot.alerts.erase(snapshot.alerts.begin() +
                              chance.between(0, static_cast<int>(snapshot.alerts.size()) - 1));
  }
}

inline model::DeviceSnapshot full_device() {
  auto snapshot = healthy();
  auto bypass = tray(3);
  bypass.type = model::InputType::sheet_feed_manual;
  snapshot.inputs.push_back(bypass);
  snapshot.supplies.push_back(toner(2, "cyan", 60));
  return snapshot;
}

}  // namespace frisket::incidents::testing
