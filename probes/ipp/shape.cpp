#include "probes/ipp/shape.h"

#include <optional>
#include <string>

namespace frisket::ipp {
namespace {

constexpr std::uint8_t kEndOfAttributes = 0x03;
constexpr std::uint8_t kFirstValueTag = 0x10;
constexpr std::uint8_t kBegCollection = 0x34;
constexpr std::uint8_t kEndCollection = 0x37;
constexpr std::uint8_t kMemberName = 0x4a;
constexpr std::uint8_t kExtension = 0x7f;
constexpr std::size_t kHeader = 8;
constexpr std::size_t kMaxLength = 0x7fff;  // lengths are signed

// A name with its values, at the top or inside a collection.
struct Unit {
  std::size_t begin = 0;
  bool open = false;     // further values may follow
  bool named = false;    // in a collection: a memberAttrName waits for its value
  bool dropped = false;  // its values are left out
};

class Walk {
 public:
  Walk(std::string_view octets, const Bounds& bounds) : octets_(octets), bounds_(bounds) {}

  // Empty when the walk came to the end; else what is wrong.
  std::string run(Shape& shape) {
    if (octets_.size() < kHeader) return "shorter than the header";
    at_ = kHeader;
    units_.assign(1, {});
    while (true) {
      tag_at_ = at_;
      std::uint8_t tag = 0;
      if (!octet(tag)) return "ends without end-of-attributes";
      if (tag == kEndOfAttributes) {
        if (units_.size() > 1) return "ends inside a collection";
        shape.octets = at_;
        shape.left_out = std::move(left_out_);
        return {};
      }
      const auto fault = tag < kFirstValueTag ? group(tag, shape) : value(tag, shape);
      if (!fault.empty()) return fault;
      if (at_ > bounds_.octets) return "longer than is read";
    }
  }

 private:
  std::string group(std::uint8_t tag, Shape& shape) {
    if (tag == 0) return "has a group with the reserved tag 0";
    if (units_.size() > 1) return "opens a group inside a collection";
    if (shape.groups.size() >= bounds_.groups) return "has too many groups";
    shape.groups.push_back({static_cast<GroupTag>(tag), 0});
    units_.back() = {};
    return {};
  }

  std::string value(std::uint8_t tag, Shape& shape) {
    if (shape.groups.empty()) return "has an attribute outside of a group";
    std::size_t name_length = 0;
    std::size_t value_length = 0;
    if (!length(name_length) || !skip(name_length)) return "ends inside a name";
    if (!length(value_length) || !skip(value_length)) return "ends inside a value";
    if (++values_ > bounds_.values) return "has too many values";
    return units_.size() == 1 ? attribute(tag, name_length, value_length, shape)
                              : member(tag, name_length, value_length);
  }

  std::string attribute(std::uint8_t tag, std::size_t name_length, std::size_t value_length, Shape& shape) {
    if (tag == kEndCollection) return "ends a collection that was not begun";
    if (tag == kMemberName) return "names a member outside of a collection";
    Unit& unit = units_.back();
    if (name_length > 0) {
      if (++attributes_ > bounds_.attributes) return "has too many attributes";
      unit = {tag_at_, true, false, tag == kExtension};
      if (!unit.dropped) ++shape.groups.back().attributes;
    } else if (!unit.open) {
      return "has a value without a name";
    }
    return close_value(tag, value_length);
  }

  std::string member(std::uint8_t tag, std::size_t name_length, std::size_t value_length) {
    if (name_length > 0) return "has a name inside a collection";
    Unit& unit = units_.back();
    if (tag == kMemberName) {
      if (unit.named) return "has a member without a value";
      if (value_length == 0) return "has a member without a name";
      if (++attributes_ > bounds_.attributes) return "has too many attributes";
      unit = {tag_at_, true, true, false};
      return {};
    }
    if (tag == kEndCollection) {
      if (value_length > 0) return "ends a collection with a value";
      if (unit.named) return "has a member without a value";
      units_.pop_back();
      if (const Unit& outer = units_.back(); outer.dropped) leave_out(outer.begin);
      return {};
    }
    if (!unit.open) return "has a member's value without a name";
    if (unit.named && tag == kExtension) unit.dropped = true;
    unit.named = false;
    return close_value(tag, value_length);
  }

  // What attributes and members have in common once the value's place is known.
  std::string close_value(std::uint8_t tag, std::size_t value_length) {
    const Unit& unit = units_.back();
    if (unit.dropped)
      leave_out(unit.begin);
    else if (tag == kExtension)
      leave_out(tag_at_);
    if (tag != kBegCollection) return {};
    if (value_length > 0) return "begins a collection with a value";
    if (units_.size() > bounds_.depth) return "nests collections too deeply";
    units_.emplace_back();
    return {};
  }

  // Everything from there to here; what was left out inside of it is part of it.
  void leave_out(std::size_t begin) {
    while (!left_out_.empty() && left_out_.back().second >= begin) {
      begin = std::min(begin, left_out_.back().first);
      left_out_.pop_back();
    }
    left_out_.emplace_back(begin, at_);
  }

  bool octet(std::uint8_t& out) {
    if (at_ >= octets_.size()) return false;
    out = static_cast<std::uint8_t>(octets_[at_++]);
    return true;
  }

  bool length(std::size_t& out) {
    std::uint8_t high = 0;
    std::uint8_t low = 0;
    if (!octet(high) || !octet(low)) return false;
    out = static_cast<std::size_t>(high) << 8 | low;
    return out <= kMaxLength;
  }

  bool skip(std::size_t count) {
    if (octets_.size() - at_ < count) return false;
    at_ += count;
    return true;
  }

  std::string_view octets_;
  const Bounds& bounds_;
  std::size_t at_ = 0;
  std::size_t tag_at_ = 0;
  std::size_t attributes_ = 0;
  std::size_t values_ = 0;
  std::vector<Unit> units_;  // the attribute, then the member of each collection that is open
  std::vector<std::pair<std::size_t, std::size_t>> left_out_;
};

}  // namespace

model::Result<Shape> shape_of(std::string_view octets, const Bounds& bounds) {
  Shape shape;
  const auto fault = Walk(octets, bounds).run(shape);
  if (fault.empty()) return shape;
  return model::Error{model::Error::Kind::nonsense, "reading an IPP message", "", "it " + fault};
}

}  // namespace frisket::ipp
