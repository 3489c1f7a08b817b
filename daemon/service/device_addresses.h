// Which configured devices are at an address.
//
// Literal addresses are known at once. Host names are looked up one after the other, away from the
// io_context's thread, and again from time to time; what a name meant before counts until then.
// On the io_context's thread.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <boost/asio/ip/address.hpp>
#include <boost/asio/ip/udp.hpp>
#include <map>
#include <memory>
#include <set>
#include <string>

#include "config/config.h"
#include "probes/clock/clock.h"

namespace frisket::service {

class DeviceAddresses {
 public:
  DeviceAddresses(boost::asio::any_io_executor executor, Clock& clock);

  // Has every host name looked up soon.
  void configure(const config::Config& config);

  // Names of devices; several where one address has several ports. Empty: nobody's address.
  std::set<std::string> at(const boost::asio::ip::address& address) const;
  bool known(const boost::asio::ip::address& address) const;

  // Looks host names up until stop(). Spawn it once.
  boost::asio::awaitable<void> keep_looking_up();
  void stop();

 private:
  boost::asio::awaitable<void> look_up(std::string host);

  Clock& clock_;
  std::map<boost::asio::ip::address, std::set<std::string>> literal_;
  std::map<std::string, std::set<std::string>> named_;                 // device names by host name
  std::map<boost::asio::ip::address, std::set<std::string>> meaning_;  // host names by address
  boost::asio::ip::udp::resolver resolver_;
  std::unique_ptr<Sleeper> sleeper_;
  bool stopped_ = false;
};

}  // namespace frisket::service
