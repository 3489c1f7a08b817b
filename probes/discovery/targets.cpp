#include "probes/discovery/targets.h"

#include <algorithm>
#include <charconv>
#include <limits>
#include <utility>

#include "probes/model/text.h"

namespace frisket::discovery {
namespace {

namespace ip = boost::asio::ip;
using model::Error;

constexpr std::uint64_t kFirstV4 = 0x01000000;  // after 0.0.0.0/8, "this network"
constexpr std::uint64_t kLastV4 = 0xDFFFFFFF;   // before 224.0.0.0/4, multicast, and 240.0.0.0/4, reserved

Error unusable(const std::string& text, std::string why) {
  return {Error::Kind::invalid, "", "",
          "\"" + model::decode_text(text, model::Charset::utf8, 80) + "\": " + std::move(why)};
}

std::uint64_t half_of(const ip::address_v6::bytes_type& octets, std::size_t begin) {
  std::uint64_t half = 0;
  for (std::size_t i = begin; i < begin + 8; ++i) half = half << 8 | octets[i];
  return half;
}

void put_half(ip::address_v6::bytes_type& octets, std::size_t begin, std::uint64_t half) {
  for (std::size_t i = begin + 8; i-- > begin; half >>= 8) octets[i] = static_cast<unsigned char>(half);
}

std::optional<int> prefix_length(std::string_view text, int most) {
  int length = 0;
  const auto* end = text.data() + text.size();
  const auto [stop, failure] = std::from_chars(text.data(), end, length);
  if (text.empty() || text.front() == '-' || failure != std::errc{} || stop != end || length > most)
    return std::nullopt;
  return length;
}

}  // namespace

ip::address plain(const ip::address& address) {
  if (address.is_v6() && address.to_v6().is_v4_mapped()) return ip::make_address_v4(ip::v4_mapped, address.to_v6());
  return address;
}

Targets::Range Targets::range_of(const ip::address& address) {
  Range range;
  if (address.is_v4()) {
    range.first = range.last = address.to_v4().to_uint();
    return range;
  }
  const auto octets = address.to_v6().to_bytes();
  range.v6 = true;
  range.scope = address.to_v6().scope_id();
  range.high = half_of(octets, 0);
  range.first = range.last = half_of(octets, 8);
  return range;
}

model::Result<Targets::Range> Targets::parse_range(const std::string& text) {
  const auto slash = text.find('/');
  boost::system::error_code failed;
  const auto written = ip::make_address(text.substr(0, slash), failed);
  if (failed) return unusable(text, "not an IP address or range such as 192.0.2.0/24; names are not looked up");
  const auto address = plain(written);
  const bool v6 = address.is_v6();
  if (slash != std::string::npos && v6 != written.is_v6())
    return unusable(text, "an IPv4 range is written in the manner of IPv4, such as 192.0.2.0/24");
  auto range = range_of(address);
  if (slash != std::string::npos) {
    const auto length = prefix_length(std::string_view(text).substr(slash + 1), v6 ? 128 : 32);
    if (!length) return unusable(text, v6 ? "the prefix is a number up to 128" : "the prefix is a number up to 32");
    if (v6 && *length < kShortestV6Prefix)
      return unusable(text, "an IPv6 range of more than 65,536 addresses cannot be asked one by one; from /" +
                                std::to_string(kShortestV6Prefix) + " on it can");
    const int open_bits = (v6 ? 128 : 32) - *length;
    const std::uint64_t mask = (std::uint64_t{1} << open_bits) - 1;
    range.first &= ~mask;
    range.last |= mask;
    if (!v6 && open_bits >= 2) {
      ++range.first;
      --range.last;
    }
  }
  if (!v6) {
    range.first = std::max(range.first, kFirstV4);
    range.last = std::min(range.last, kLastV4);
  } else if (range.high == 0 && range.first == 0) {
    ++range.first;  // "::" is no machine's
  }
  if (range.first > range.last || (v6 && address.to_v6().is_multicast()))
    return unusable(text, "no address of one machine is in it");
  return range;
}

model::Result<Targets> Targets::parse(const std::vector<std::string>& ranges) {
  Targets targets;
  for (const auto& text : ranges) {
    auto range = parse_range(text);
    if (!range) return std::move(range.error());
    targets.ranges_.push_back(*range);
  }
  targets.merge();
  return targets;
}

void Targets::merge() {
  std::ranges::sort(ranges_);
  std::vector<Range> apart;
  for (const auto& range : ranges_) {
    if (!apart.empty() && apart.back().same_network(range) && range.first <= apart.back().last) {
      apart.back().last = std::max(apart.back().last, range.last);
    } else {
      apart.push_back(range);
    }
  }
  ranges_ = std::move(apart);
}

std::uint64_t Targets::count() const {
  std::uint64_t count = 0;
  for (const auto& range : ranges_) count += range.last - range.first + 1;
  return count;
}

bool Targets::exclude(const ip::address& address) {
  const auto gone = range_of(plain(address));
  const auto holds = [&](const Range& range) {
    return range.same_network(gone) && range.first <= gone.first && gone.first <= range.last;
  };
  const auto found = std::ranges::find_if(ranges_, holds);
  if (found == ranges_.end()) return false;
  auto before = *found;
  auto after = *found;
  const bool has_before = gone.first > before.first;
  const bool has_after = gone.first < after.last;
  before.last = gone.first - 1;
  after.first = gone.first + 1;
  const auto place = ranges_.erase(found);
  const auto behind = has_after ? ranges_.insert(place, after) : place;
  if (has_before) ranges_.insert(behind, before);
  return true;
}

std::optional<ip::address> Targets::Cursor::next() {
  const auto& ranges = targets_->ranges_;
  if (range_ == ranges.size()) return std::nullopt;
  const auto& range = ranges[range_];
  const auto number = range.first + offset_;
  if (number == range.last) {
    ++range_;
    offset_ = 0;
  } else {
    ++offset_;
  }
  if (!range.v6) return ip::address_v4(static_cast<std::uint32_t>(number));
  ip::address_v6::bytes_type octets{};
  put_half(octets, 0, range.high);
  put_half(octets, 8, number);
  return ip::address_v6(octets, static_cast<ip::scope_id_type>(range.scope));
}

}  // namespace frisket::discovery
