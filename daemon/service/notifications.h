// From a notification to a poll, and to nothing else.
//
// A trap is a hint: it says that asking now is worth while, and what it says beside that is not
// believed. A device is known by the address that the datagram came from; RFC 3805's alert in it
// goes to the debug log and no further. On the io_context's thread.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/awaitable.hpp>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "config/config.h"
#include "daemon/service/device_addresses.h"
#include "daemon/service/poll_limiter.h"
#include "daemon/service/unknown_senders.h"
#include "probes/clock/clock.h"
#include "probes/clock/task_group.h"
#include "probes/snmp/listener.h"

namespace frisket::service {

class Notifications final : private snmp::Listener::Audience {
 public:
  using PollSoon = std::function<bool(const std::string& device)>;

  Notifications(boost::asio::any_io_executor executor, Clock& clock, PollSoon poll_soon);

  // Listens where the configuration says. A failure is logged and kept for state(); the next
  // configure() tries again. A socket that is as configured goes on undisturbed.
  void configure(const config::Config& config);

  // Closes the socket; the tasks end soon after.
  void stop();
  std::size_t running() const { return tasks_.running(); }

  struct State {
    std::string listening;  // "127.0.0.1:1162"; empty: nowhere
    std::string trouble;    // why not, though it should; empty: none
    std::map<std::string, std::uint64_t> counters;
    std::vector<UnknownSenders::Sender> unknown_senders;
  };
  State state() const;

 private:
  bool knows(const boost::asio::ip::address& source) override;
  std::span<const config::Credential> users(const boost::asio::ip::address& source) override;
  bool take(const snmp::Notification& notification, const boost::asio::ip::address& source) override;

  void listen();
  void become_engine();
  bool credible(const snmp::Notification& notification) const;
  bool ask_for(const std::string& device);
  boost::asio::awaitable<void> poll_later();

  Clock& clock_;
  PollSoon poll_soon_;
  config::Notifications config_;
  std::filesystem::path state_dir_;
  std::vector<config::Credential> credentials_;                   // those that config_ names
  std::map<std::string, std::vector<config::Credential>> users_;  // where it names none: by device
  std::vector<config::Credential> asked_for_;                     // what users() gave last
  DeviceAddresses addresses_;
  PollLimiter limiter_;
  UnknownSenders unknown_senders_;
  std::string listening_;
  std::string trouble_;
  std::uint64_t polls_ = 0;
  std::uint64_t merged_ = 0;  // into a poll that was waiting already
  bool started_ = false;
  bool is_engine_ = false;
  bool stopped_ = false;
  TaskGroup tasks_;
  std::unique_ptr<Sleeper> turn_;  // of the next device that waits for its poll
  snmp::Listener listener_;
};

}  // namespace frisket::service
