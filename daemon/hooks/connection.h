// One TCP connection to a receiver, with TLS if it is asked for, under one time limit.
//
// What the other side sends is bounded. Each step says whether it went well; trouble() says why not. On the
// io_context's thread; at most one step at a time.
#pragma once

#include <array>
#include <boost/asio/awaitable.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/ip/udp.hpp>
#include <boost/asio/ssl/context.hpp>
#include <boost/asio/ssl/stream.hpp>
#include <boost/asio/steady_timer.hpp>
#include <chrono>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace frisket::hooks {

class Connection : public std::enable_shared_from_this<Connection> {
 public:
  static constexpr std::size_t kLongestLine = 4096;

  explicit Connection(const boost::asio::any_io_executor& executor);

  // From now on: when this is over, every step fails, and timed_out() is true.
  void allow(std::chrono::seconds time_limit);

  boost::asio::awaitable<bool> open(const std::string& host, std::uint16_t port);

  // TLS 1.2 or later (the RFCs 8996, 9325). The certificate must be for this host and from one of the authorities in
  // the file, or from one of the machine's if it is empty. What was read ahead in clear makes it fail.
  boost::asio::awaitable<bool> encrypt(const std::string& host, const std::filesystem::path& ca_file);

  boost::asio::awaitable<bool> write(std::string_view octets);
  // Without its line end, which is LF or CRLF.
  boost::asio::awaitable<bool> read_line(std::string& line);
  // Says that nothing more will come, and waits until the other side has ended too.
  boost::asio::awaitable<bool> finish();

  // One datagram over UDP, instead of all that.
  boost::asio::awaitable<bool> send_datagram(const std::string& host, std::uint16_t port, std::string_view octets);

  // Ends it at once; a step under way fails.
  void close();

  bool opened() const { return opened_; }
  bool encrypted() const { return tls_ != nullptr; }
  bool timed_out() const { return timed_out_; }
  const std::string& trouble() const { return trouble_; }
  // "[192.0.2.7]", "[IPv6:2001:db8::7]" (RFC 5321 section 4.1.3).
  std::string own_address() const;

 private:
  using Tls = boost::asio::ssl::stream<boost::asio::ip::tcp::socket&>;

  bool went_well(const boost::system::error_code& error, const char* doing);
  bool prepare_tls(const std::string& host, const std::filesystem::path& ca_file);
  boost::asio::awaitable<std::size_t> read_some(boost::system::error_code& error);

  boost::asio::ip::tcp::resolver resolver_;
  boost::asio::ip::udp::resolver datagram_resolver_;
  boost::asio::ip::tcp::socket socket_;
  boost::asio::steady_timer timer_;
  std::optional<boost::asio::ssl::context> context_;
  std::unique_ptr<Tls> tls_;
  std::string ahead_;  // read, and not taken yet
  std::array<char, 1024> piece_{};
  std::string trouble_;
  bool opened_ = false;
  bool timed_out_ = false;
  bool closed_ = false;
};

}  // namespace frisket::hooks
