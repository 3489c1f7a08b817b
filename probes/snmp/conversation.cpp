#include "probes/snmp/conversation.h"

#include <numeric>
#include <utility>

namespace frisket::snmp {
namespace {

namespace asio = boost::asio;
using model::Error;

constexpr int kMostSilentExchanges = 12;

}  // namespace

Conversation::Conversation(Network& network, Clock& clock, Endpoint peer, config::Credential credential,
                           Patience patience, UsmPeer* usm, RoundTrip* round_trip)
    : network_(network),
      clock_(clock),
      peer_(std::move(peer)),
      credential_(std::move(credential)),
      patience_(patience),
      usm_(usm),
      round_trip_(round_trip),
      end_(clock.steady_now() + kMostSilentExchanges * patience.attempts * patience.timeout) {}

asio::awaitable<model::Result<Response>> Conversation::ask(Request request) {
  if (++round_trips_ > kMostRoundTrips || clock_.steady_now() >= end_) {
    co_return Error{Error::Kind::silent, "asking", "", "the poll took too long"};
  }
  auto response = co_await exchange(network_, peer_, credential_, std::move(request), patience_, usm_);
  const bool silent = !response && response.error().kind == Error::Kind::silent;
  silences_ = silent ? silences_ + 1 : 0;
  if (round_trip_ != nullptr && response && response->round_trip) round_trip_->sample(*response->round_trip);
  co_return response;
}

asio::awaitable<model::Result<std::vector<VarBind>>> Conversation::ask_each(Operation operation,
                                                                            std::vector<Oid> names) {
  std::vector<VarBind> answers(names.size());
  std::vector<std::vector<std::size_t>> groups(1, std::vector<std::size_t>(names.size()));
  std::iota(groups[0].begin(), groups[0].end(), std::size_t{0});
  while (!groups.empty()) {
    auto group = std::move(groups.back());
    groups.pop_back();
    if (group.empty()) continue;
    Request request;
    request.operation = operation;
    for (const auto place : group) request.names.push_back(names[place]);
    auto response = co_await ask(std::move(request));
    if (!response) co_return response.error();
    if (response->refused()) {
      co_return Error{Error::Kind::refused, "asking", "", "the agent says " + to_text(response->error_status)};
    }
    if (response->error_status == ErrorStatus::too_big && group.size() > 1) {
      const auto half = group.begin() + static_cast<std::ptrdiff_t>(group.size() / 2);
      groups.emplace_back(half, group.end());
      groups.emplace_back(group.begin(), half);
    } else if (response->error_status != ErrorStatus::no_error) {
      // Without an index there is nothing to leave out: the names are then asked one by one.
      const auto index = static_cast<std::size_t>(response->error_index);
      if (response->error_index > 0 && index <= group.size()) {
        group.erase(group.begin() + static_cast<std::ptrdiff_t>(index - 1));
        groups.push_back(std::move(group));
      } else if (group.size() > 1) {
        for (const auto place : group) groups.emplace_back(1, place);
      }
    } else {
      const auto count = std::min(group.size(), response->variables.size());
      for (std::size_t i = 0; i < count; ++i) answers[group[i]] = std::move(response->variables[i]);
    }
  }
  co_return answers;
}

asio::awaitable<TableRows> Conversation::read(const mib::Table& table, std::uint32_t device_index,
                                              TableMemory& memory) {
  const auto operation = credential_.version == config::SnmpVersion::v1 ? Operation::get_next : Operation::get_bulk;
  TableWalk walk(table, device_index, operation, memory);
  while (auto request = walk.next()) {
    auto response = co_await ask(std::move(*request));
    if (!response) {
      walk.interrupt(response.error().what);
      break;
    }
    walk.feed(*response);
  }
  memory = walk.memory();
  co_return std::move(walk).take();
}

}  // namespace frisket::snmp
