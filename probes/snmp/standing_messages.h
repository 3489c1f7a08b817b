// The bytes of standing requests, kept once for all devices that are asked the same in the same words.
//
// Printers of one model mostly are: so thousands of polls share a few messages, which stay in the processor's cache,
// and only the request id in them is set anew before each is sent. On the io_context's thread.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>

namespace frisket::snmp {

class StandingMessage {
 public:
  // `id_at`: where the four octets of the request id are.
  StandingMessage(std::string octets, std::uint16_t id_at) : octets_(std::move(octets)), id_at_(id_at) {}

  // Valid until the next call for any request that shares the message.
  std::string_view with_id(std::int32_t id);

 private:
  std::string octets_;
  std::uint16_t id_at_;
};

class StandingMessages {
 public:
  // `octets` with an id in them that is the same in every call. The message lives as long as somebody holds it.
  std::shared_ptr<StandingMessage> of(const std::string& octets, std::uint16_t id_at);

  std::size_t size() const { return known_.size(); }  // with those that nobody holds any more, until the next sweep

 private:
  std::unordered_map<std::string, std::weak_ptr<StandingMessage>> known_;
  std::size_t sweep_at_ = 64;
};

}  // namespace frisket::snmp
