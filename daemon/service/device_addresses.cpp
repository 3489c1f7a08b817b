#include "daemon/service/device_addresses.h"

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <utility>
#include <vector>

namespace frisket::service {
namespace {

namespace asio = boost::asio;
using namespace std::chrono_literals;

// How long a name that has moved to another address may go on sending in vain.
constexpr auto kLookUpAgain = 10min;

}  // namespace

DeviceAddresses::DeviceAddresses(asio::any_io_executor executor, Clock& clock)
    : clock_(clock), resolver_(executor), sleeper_(clock.make_sleeper(executor)) {}

void DeviceAddresses::configure(const config::Config& config) {
  literal_.clear();
  named_.clear();
  for (const auto& device : config.devices) {
    boost::system::error_code no_literal;
    const auto address = asio::ip::make_address(device.address, no_literal);
    if (no_literal)
      named_[device.address].insert(device.name);
    else
      literal_[address].insert(device.name);
  }
  for (auto& [address, hosts] : meaning_)
    std::erase_if(hosts, [this](const auto& host) { return !named_.contains(host); });
  std::erase_if(meaning_, [](const auto& entry) { return entry.second.empty(); });
  sleeper_->wake();
}

bool DeviceAddresses::known(const asio::ip::address& address) const {
  return literal_.contains(address) || meaning_.contains(address);
}

std::set<std::string> DeviceAddresses::at(const asio::ip::address& address) const {
  std::set<std::string> devices;
  if (const auto found = literal_.find(address); found != literal_.end()) devices = found->second;
  const auto hosts = meaning_.find(address);
  if (hosts == meaning_.end()) return devices;
  for (const auto& host : hosts->second)
    if (const auto named = named_.find(host); named != named_.end())
      devices.insert(named->second.begin(), named->second.end());
  return devices;
}

asio::awaitable<void> DeviceAddresses::look_up(std::string host) {
  const auto answer = co_await resolver_.async_resolve(host, "", asio::as_tuple(asio::use_awaitable));
  const auto& [failed, results] = answer;
  // A name service that is away for a while takes no device's address away.
  if (failed || results.empty() || !named_.contains(host)) co_return;
  for (auto& [address, hosts] : meaning_) hosts.erase(host);
  std::erase_if(meaning_, [](const auto& entry) { return entry.second.empty(); });
  for (const auto& result : results) meaning_[result.endpoint().address()].insert(host);
}

asio::awaitable<void> DeviceAddresses::keep_looking_up() {
  while (!stopped_) {
    std::vector<std::string> hosts;
    for (const auto& [host, devices] : named_) hosts.push_back(host);
    for (const auto& host : hosts)
      if (!stopped_) co_await look_up(host);
    if (!stopped_) co_await sleeper_->until(clock_.steady_now() + kLookUpAgain);
  }
}

void DeviceAddresses::stop() {
  stopped_ = true;
  resolver_.cancel();
  sleeper_->wake();
}

}  // namespace frisket::service
