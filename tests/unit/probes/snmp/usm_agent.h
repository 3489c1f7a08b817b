// An SNMPv3 agent on loopback, by the other hand of usm_hand.h, that keeps RFC 3414 section 3.2 or does as it is told.
#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/udp.hpp>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "usm_hand.h"

namespace frisket::testing {

// Its number under usmStats (RFC 3414 section 5).
enum class UsmStat : std::uint32_t {
  unsupported_security_level = 1,
  not_in_time_window = 2,
  unknown_user_name = 3,
  unknown_engine_id = 4,
  wrong_digest = 5,
  decryption_error = 6,
};

inline UsmMessage report_of(const UsmMessage& asked, std::string engine_id, std::uint32_t boots, std::uint32_t time,
                            snmp::Oid counter, unsigned flags = 0) {
  UsmMessage report;
  report.id = asked.id;
  report.flags = flags;
  report.engine_id = report.context_engine_id = std::move(engine_id);
  report.boots = boots;
  report.time = time;
  report.user = asked.user;
  report.context = asked.context;
  report.pdu = simfleet::ber::report;
  report.request_id = asked.request_id;
  report.variables = encode_variables({{std::move(counter), snmp::Counter32{1}}});
  return report;
}

inline snmp::Oid counter_of(UsmStat stat) {
  return snmp::Oid{1, 3, 6, 1, 6, 3, 15, 1, 1, static_cast<std::uint32_t>(stat), 0};
}

class UsmAgent {
 public:
  using Udp = boost::asio::ip::udp;

  UsmAgent(boost::asio::io_context& context, config::User whom)
      : user(std::move(whom)), socket_(context, Udp::endpoint(boost::asio::ip::make_address("127.0.0.1"), 0)) {
    listen();
  }

  // May be changed between two questions.
  config::User user;
  std::string engine_id{"\x80\x00\x7e\xd9\x04herbarium", 14};
  std::uint32_t boots = 7;
  std::uint32_t time = 1000;
  snmp::Value value = snmp::Octets{"Quillfern 40"};
  bool silent = false;
  bool silent_to_users = false;  // answers discovery only
  // In place of serve(), for whatever comes; empty: nothing is sent.
  std::function<std::string(const UsmMessage&)> script;

  Udp::endpoint endpoint() const { return socket_.local_endpoint(); }
  const std::vector<UsmMessage>& asked() const { return asked_; }

  std::string report(const UsmMessage& asked, UsmStat stat, unsigned flags = 0) const {
    return seal_message(report_of(asked, engine_id, boots, time, counter_of(stat), flags), user);
  }

  std::string serve(const UsmMessage& asked) const {
    if (asked.engine_id != engine_id) return report(asked, UsmStat::unknown_engine_id);
    if (silent_to_users) return {};
    if (asked.user != user.name) return report(asked, UsmStat::unknown_user_name);
    if ((asked.flags & 3U) != level()) return report(asked, UsmStat::unsupported_security_level);
    if (level() > 0) {
      if (!asked.digest_right) return report(asked, UsmStat::wrong_digest);
      const auto apart = asked.time > time ? asked.time - time : time - asked.time;
      if (asked.boots != boots || apart > 150) return report(asked, UsmStat::not_in_time_window, 1);
    }
    auto answer = asked;
    answer.flags = level();
    answer.boots = boots;
    answer.time = time;
    answer.pdu = simfleet::ber::response;
    answer.errors[0] = answer.errors[1] = 0;
    std::vector<VarBind> variables;
    for (const auto& name : asked.names()) variables.push_back({name, value});
    answer.variables = encode_variables(variables);
    return seal_message(answer, user);
  }

 private:
  unsigned level() const {
    if (user.authentication == config::Authentication::none) return 0;
    return user.privacy == config::Privacy::none ? 1 : 3;
  }

  void listen() {
    auto received = [this](const boost::system::error_code& failed, std::size_t length) {
      if (failed) return;
      hear(std::string(buffer_.data(), length));
      listen();
    };
    socket_.async_receive_from(boost::asio::buffer(buffer_), last_, std::move(received));
  }

  void hear(const std::string& datagram) {
    const auto asked = open_message(datagram, user);
    if (!asked) return;  // not encrypted for this user
    asked_.push_back(*asked);
    if (silent) return;
    const auto reply = script ? script(*asked) : serve(*asked);
    if (!reply.empty()) socket_.send_to(boost::asio::buffer(reply), last_);
  }

  Udp::socket socket_;
  Udp::endpoint last_;
  std::array<char, 65536> buffer_{};
  std::vector<UsmMessage> asked_;
};

}  // namespace frisket::testing
