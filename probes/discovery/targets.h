// Which addresses are to be asked: what was named, each once, and nothing else.
//
// Understands "192.0.2.0/24", "192.0.2.17", "2001:db8::17" and "2001:db8::/120". Bits after the
// prefix may be set ("192.0.2.10/24" is the network that this address is in). No names: nothing is
// looked up. Pure values; any thread.
#pragma once

#include <boost/asio/ip/address.hpp>
#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "probes/model/result.h"

namespace frisket::discovery {

// More than this is asked only when that is said twice (--yes).
inline constexpr std::uint64_t kManyAddresses = 65'536;

// An IPv6 network is asked only from this prefix on, which is as many addresses: nobody has the time
// for more, whatever they say.
inline constexpr int kShortestV6Prefix = 112;

class Targets {
 public:
  // Ranges in any order; what they share is asked once. Left out are the network and the broadcast
  // address of IPv4 ranges of a prefix up to 30 (RFC 3021: 31 has neither), unless another range
  // names them, and addresses that are no one machine's (0/8, multicast, reserved: RFC 6890).
  static model::Result<Targets> parse(const std::vector<std::string>& ranges);

  std::uint64_t count() const;

  // Takes one address out. False if it was not in.
  bool exclude(const boost::asio::ip::address& address);

  // Goes through the addresses: IPv4 first, in order. The targets must outlive it, unchanged.
  class Cursor {
   public:
    explicit Cursor(const Targets& targets) : targets_(&targets) {}
    std::optional<boost::asio::ip::address> next();

   private:
    const Targets* targets_;
    std::size_t range_ = 0;
    std::uint64_t offset_ = 0;
  };

 private:
  // Consecutive addresses that differ in their last 64 bits only; all 32 of IPv4.
  struct Range {
    bool v6 = false;
    std::uint64_t scope = 0;  // IPv6 zone
    std::uint64_t high = 0;   // IPv6: the first 64 bits
    std::uint64_t first = 0;
    std::uint64_t last = 0;  // included
    bool same_network(const Range& other) const { return v6 == other.v6 && scope == other.scope && high == other.high; }
    auto operator<=>(const Range&) const = default;
  };

  static Range range_of(const boost::asio::ip::address& address);
  static model::Result<Range> parse_range(const std::string& text);
  void merge();

  std::vector<Range> ranges_;  // in order, apart from each other
};

// The address in the one spelling that the configuration uses for comparing. IPv4 that is written
// as IPv6 (::ffff:192.0.2.1) is IPv4.
boost::asio::ip::address plain(const boost::asio::ip::address& address);

}  // namespace frisket::discovery
