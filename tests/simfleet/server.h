// The fleet on the network: one UDP socket for all addresses of 127.0.0.0/8.
//
// The socket is bound to every address but to the loopback interface only, and a datagram
// that is not from 127/8 to 127/8 is dropped; the answer leaves from the address that was
// asked (IP_PKTINFO). Datagrams are taken and sent in batches. One thread, one io_context.
#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/udp.hpp>
#include <boost/asio/steady_timer.hpp>
#include <cstdint>
#include <functional>
#include <memory>
#include <random>
#include <string_view>
#include <vector>

#include "tests/simfleet/agent.h"
#include "tests/simfleet/fleet.h"
#include "tests/simfleet/lie.h"

namespace frisket::simfleet {

struct Served {
  std::uint64_t received = 0;
  std::uint64_t answered = 0;
  std::uint64_t malformed = 0;
  std::uint64_t wrong_community = 0;
  std::uint64_t not_sent = 0;  // the socket's buffer was full
};

class Server {
 public:
  // Throws boost::system::system_error if the port cannot be had; port 0 takes a free one.
  // `now` is the simulated time.
  Server(boost::asio::io_context& context, Fleet& fleet, std::uint16_t port, std::uint64_t seed,
         std::function<SimTime()> now);
  ~Server();

  std::uint16_t port() const;
  const Served& served() const { return served_; }
  void stop();

  // Sends octets from a device's address (host byte order) and this server's port, unasked.
  void send(std::uint32_t from, const boost::asio::ip::udp::endpoint& to, std::string_view bytes);

 private:
  struct Batch;
  struct Outgoing {
    std::uint32_t from = 0;  // host byte order
    std::uint32_t to = 0;    // network byte order
    std::uint16_t port = 0;  // network byte order
    std::string bytes;
  };

  void wait();
  void drain();
  void handle(std::size_t slot, SimTime now);
  int answer_badly(Fault fault, const Request& request, Device& device, const Limits& limits, SimTime now);
  void queue(std::uint32_t from, std::uint32_t to, std::uint16_t port, std::string_view bytes);
  void flush();
  void send_later(Outgoing outgoing, std::int64_t delay_ms);

  boost::asio::io_context& context_;
  boost::asio::ip::udp::socket socket_;
  Fleet& fleet_;
  std::function<SimTime()> now_;
  std::mt19937_64 random_;
  Agent agent_;
  Liar liar_;
  std::string answer_;
  std::unique_ptr<Batch> batch_;
  Served served_;
};

}  // namespace frisket::simfleet
