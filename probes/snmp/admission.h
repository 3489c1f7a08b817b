// Who may send next: so many requests outstanding in all, and so many to one subnet.
//
// Subnets take turns, so that one whose devices are slow or dead holds up only itself. Pure; used by
// Network, on the io_context's thread.
#pragma once

#include <boost/asio/ip/udp.hpp>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <unordered_map>

namespace frisket::snmp {

// IPv4 /24 or IPv6 /64, as a number.
std::uint64_t subnet_of(const boost::asio::ip::udp::endpoint& peer);

class Admission {
 public:
  // Something that waits; told apart by its address only.
  using Waiter = void*;

  struct Limits {
    std::size_t in_all = 256;
    std::size_t per_subnet = 64;
  };

  void wait(Waiter who, std::uint64_t subnet);

  // Whose turn it is, or null. It counts as outstanding from now on, until leave().
  Waiter admit(const Limits& limits);

  // An outstanding one has ended.
  void leave(std::uint64_t subnet);

  // Waits no more. False if it did not.
  bool give_up(Waiter who, std::uint64_t subnet);

  // Any one that waits, for emptying; it waits no more. Null when none does.
  Waiter take_any();

  std::size_t outstanding() const { return outstanding_; }

 private:
  struct Lane {
    std::size_t outstanding = 0;
    std::deque<Waiter> waiting;
    bool in_turn = false;
  };

  void forget_if_idle(std::uint64_t subnet);

  std::unordered_map<std::uint64_t, Lane> lanes_;
  std::deque<std::uint64_t> turns_;  // subnets where somebody waits and there was room when last seen
  std::size_t outstanding_ = 0;
};

}  // namespace frisket::snmp
