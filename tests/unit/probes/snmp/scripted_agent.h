// An SNMP agent on loopback that answers from rows, or as a test tells it to.
//
// Its codec is the simulated fleet's, which shares no line with the one under test.
// Runs inside the test's io_context; nothing here waits.
#pragma once

#include <algorithm>
#include <array>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/udp.hpp>
#include <cstdint>
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "probes/snmp/pdu.h"
#include "tests/simfleet/ber.h"
#include "tests/simfleet/message.h"

namespace frisket::testing {

using snmp::Oid;
using snmp::Value;
using snmp::VarBind;

inline void append_value(std::string& out, const Value& value) {
  namespace ber = simfleet::ber;
  if (const auto* v = std::get_if<snmp::Integer>(&value)) return ber::append_integer(out, v->value);
  if (const auto* v = std::get_if<snmp::Counter32>(&value)) return ber::append_unsigned(out, v->value, ber::counter32);
  if (const auto* v = std::get_if<snmp::Gauge32>(&value)) return ber::append_unsigned(out, v->value, ber::gauge32);
  if (const auto* v = std::get_if<snmp::TimeTicks>(&value)) return ber::append_unsigned(out, v->value, ber::time_ticks);
  if (const auto* v = std::get_if<snmp::Octets>(&value)) return ber::append_octets(out, v->value);
  if (const auto* v = std::get_if<Oid>(&value)) return ber::append_oid(out, v->view());
  if (std::holds_alternative<snmp::NoSuchObject>(value)) return ber::append_empty(out, ber::no_such_object);
  if (std::holds_alternative<snmp::NoSuchInstance>(value)) return ber::append_empty(out, ber::no_such_instance);
  if (std::holds_alternative<snmp::EndOfMibView>(value)) return ber::append_empty(out, ber::end_of_mib_view);
  ber::append_empty(out, ber::null);
}

inline std::string encode_variables(const std::vector<VarBind>& variables) {
  namespace ber = simfleet::ber;
  std::string list;
  for (const auto& variable : variables) {
    std::string binding;
    ber::append_oid(binding, variable.name.view());
    append_value(binding, variable.value);
    ber::append_octets(list, binding, ber::sequence);
  }
  return list;
}

class ScriptedAgent {
 public:
  using Udp = boost::asio::ip::udp;

  // A request as the agent understood it.
  struct Asked {
    std::uint8_t pdu = 0;
    std::string community;
    std::int64_t id = 0;
    std::int32_t max_repetitions = 0;
    std::vector<Oid> names;
    std::string datagram;
  };

  // What to send back; empty: nothing.
  using Script = std::function<std::string(const Asked&)>;

  explicit ScriptedAgent(boost::asio::io_context& context, std::string community = "garden",
                         const char* address = "127.0.0.1")
      : community_(std::move(community)), socket_(context, Udp::endpoint(boost::asio::ip::make_address(address), 0)) {
    listen();
  }

  Udp::endpoint endpoint() const { return socket_.local_endpoint(); }
  const std::vector<Asked>& asked() const { return asked_; }

  void set(const Oid& name, Value value) {
    const auto at = place(name);
    if (at != cells_.end() && at->name == name) {
      cells_[static_cast<std::size_t>(at - cells_.begin())].value = std::move(value);
    } else {
      cells_.insert(at, {name, std::move(value)});
    }
  }
  void remove(const Oid& name) {
    std::erase_if(cells_, [&](const VarBind& cell) { return cell.name == name; });
  }
  void remove_all() { cells_.clear(); }

  // In place of serve().
  void script(Script script) { script_ = std::move(script); }

  // RFC 3416 section 4.2, from the rows. Silent for another community.
  std::string serve(const Asked& asked) const {
    if (asked.community != community_) return {};
    std::vector<VarBind> variables;
    auto names = asked.names;
    if (asked.pdu == simfleet::ber::get_request) {
      for (const auto& name : names) {
        const auto at = place(name);
        const bool found = at != cells_.end() && at->name == name;
        variables.push_back({name, found ? at->value : Value(snmp::NoSuchInstance{})});
      }
    } else {
      const auto repetitions = asked.pdu == simfleet::ber::get_bulk_request ? asked.max_repetitions : 1;
      for (std::int32_t i = 0; i < repetitions; ++i) {
        for (auto& name : names) variables.push_back(after(name));
      }
    }
    return answer(asked, variables);
  }

  static std::string answer(const Asked& asked, const std::vector<VarBind>& variables,
                            simfleet::ErrorStatus status = simfleet::ErrorStatus::no_error, std::size_t index = 0) {
    simfleet::Request request;
    if (simfleet::parse(asked.datagram, request) != simfleet::Parsed::ok) return {};
    std::string message;
    simfleet::build_response(request, status, index, encode_variables(variables), message);
    return message;
  }

  // Unasked, to whoever asked last, from this agent's address.
  void send(const std::string& datagram) { socket_.send_to(boost::asio::buffer(datagram), last_); }
  Udp::endpoint last() const { return last_; }

 private:
  std::vector<VarBind>::const_iterator place(const Oid& name) const {
    return std::lower_bound(cells_.begin(), cells_.end(), name,
                            [](const VarBind& cell, const Oid& b) { return snmp::compare(cell.name, b) < 0; });
  }

  VarBind after(Oid& name) const {
    auto at = place(name);
    if (at != cells_.end() && at->name == name) ++at;
    if (at == cells_.end()) return {name, snmp::EndOfMibView{}};
    name = at->name;
    return *at;
  }

  void listen() {
    auto received = [this](const boost::system::error_code& failed, std::size_t length) {
      if (failed) return;
      hear(std::string(buffer_.data(), length));
      listen();
    };
    socket_.async_receive_from(boost::asio::buffer(buffer_), last_, std::move(received));
  }

  void hear(std::string datagram) {
    namespace ber = simfleet::ber;
    simfleet::Request request;
    Asked asked;
    asked.datagram = std::move(datagram);
    if (simfleet::parse(asked.datagram, request) != simfleet::Parsed::ok) return;
    asked.pdu = request.pdu;
    asked.community = request.community;
    asked.max_repetitions = request.max_repetitions;
    asked.id = ber::decode_integer(ber::Reader(request.request_id).next()->body).value_or(0);
    ber::Reader list(request.variables);
    while (const auto binding = list.next(ber::sequence)) {
      simfleet::Oid name;
      ber::decode_oid(ber::Reader(binding->body).next()->body, name);
      asked.names.emplace_back(snmp::OidView(name));
    }
    asked_.push_back(asked);
    const auto reply = script_ ? script_(asked) : serve(asked);
    if (!reply.empty()) socket_.send_to(boost::asio::buffer(reply), last_);
  }

  std::string community_;
  Udp::socket socket_;
  Udp::endpoint last_;
  std::array<char, 65536> buffer_{};
  std::vector<VarBind> cells_;
  std::vector<Asked> asked_;
  Script script_;
};

}  // namespace frisket::testing
