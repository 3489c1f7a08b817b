#include "daemon/http/refusal_limit.h"

#include <algorithm>
#include <boost/asio/ip/address.hpp>

namespace frisket::http {
namespace {

using namespace std::chrono_literals;
constexpr auto kMinute = 60s;

}  // namespace

std::string peer_key(const std::string& address) {
  boost::system::error_code error;
  const auto parsed = boost::asio::ip::make_address(address, error);
  if (error || !parsed.is_v6()) return address;
  auto octets = parsed.to_v6().to_bytes();
  std::fill(octets.begin() + 8, octets.end(), static_cast<unsigned char>(0));
  return boost::asio::ip::address_v6(octets).to_string();
}

// A clock that was set back begins a new minute too.
bool RefusalLimit::Minute::is_over(model::WallTime now) const { return now < begin || now - begin >= kMinute; }

int RefusalLimit::Minute::seconds_left(model::WallTime now) const {
  return static_cast<int>(std::chrono::ceil<std::chrono::seconds>(begin + kMinute - now).count());
}

int RefusalLimit::refuse(const Origin& origin, model::WallTime now) {
  if (all_.is_over(now)) all_ = {now, 0};
  const auto key = peer_key(origin.address);
  if (!peers_.contains(key)) make_room(now);
  auto& minute = peers_.try_emplace(key, Minute{now, 0}).first->second;
  if (minute.is_over(now)) minute = {now, 0};
  if (minute.count >= kEach) return minute.seconds_left(now);
  if (all_.count >= kAll) return all_.seconds_left(now);
  ++minute.count;
  ++all_.count;
  return 0;
}

void RefusalLimit::make_room(model::WallTime now) {
  if (peers_.size() < kPeers) return;
  std::erase_if(peers_, [&](const auto& peer) { return peer.second.is_over(now); });
  if (peers_.size() < kPeers) return;
  peers_.erase(std::ranges::min_element(peers_, {}, [](const auto& peer) { return peer.second.begin; }));
}

}  // namespace frisket::http
