// The outline of an IPP message, walked before anything is allocated for it (RFC 8010 section 3).
//
// The codec library sets no bound on nesting, attributes or groups, does not tell where an empty
// group was, and reads the extension tag 0x7f in another place than RFC 8010 section 3.5.2 has it.
// So the tags and lengths are walked once here: what passes is whole, bounded and balanced, and
// values of extended types are left out by their length, as the RFC asks. Pure; any thread.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>
#include <utility>
#include <vector>

#include "probes/ipp/message.h"
#include "probes/model/result.h"

namespace frisket::ipp {

struct Bounds {
  std::size_t octets = std::size_t{8} << 20;
  std::size_t groups = 20'000;
  std::size_t attributes = 200'000;  // members of collections included
  std::size_t values = 400'000;
  std::size_t depth = 8;  // of collections in collections
};

struct Shape {
  struct GroupShape {
    GroupTag tag;
    std::size_t attributes;
  };
  std::vector<GroupShape> groups;
  std::size_t octets = 0;                                     // up to and with end-of-attributes
  std::vector<std::pair<std::size_t, std::size_t>> left_out;  // [begin, end) of what to skip, in order
};

// Fails with Kind::nonsense for anything truncated, out of bounds or out of balance. What follows
// end-of-attributes is document data and not looked at.
model::Result<Shape> shape_of(std::string_view octets, const Bounds& bounds = {});

}  // namespace frisket::ipp
