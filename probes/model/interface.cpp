#include "probes/model/interface.h"

#include <array>

namespace frisket::model {
namespace {

constexpr std::array kInterfaceStatus = {
    EnumName{1, "up"},      EnumName{2, "down"},        EnumName{3, "testing"},          EnumName{4, "unknown"},
    EnumName{5, "dormant"}, EnumName{6, "not-present"}, EnumName{7, "lower-layer-down"},
};

}  // namespace

template <>
std::span<const EnumName> listed<InterfaceStatus>() {
  return kInterfaceStatus;
}

}  // namespace frisket::model
