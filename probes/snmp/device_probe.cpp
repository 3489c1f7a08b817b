#include "probes/snmp/device_probe.h"

#include <array>
#include <optional>
#include <string>
#include <utility>

#include "probes/snmp/address.h"
#include "probes/snmp/conversation.h"
#include "probes/snmp/decode.h"
#include "probes/snmp/plan.h"

namespace frisket::snmp {

namespace asio = boost::asio;
using model::DeviceReading;
using model::Error;
using model::Reach;

namespace {

Reach reach_of(Error::Kind kind) {
  switch (kind) {
    case Error::Kind::refused:
      return Reach::refused;
    case Error::Kind::nonsense:
      return Reach::nonsense;
    case Error::Kind::silent:
    case Error::Kind::local:
    case Error::Kind::invalid:
      return Reach::silent;
  }
  return Reach::silent;
}

}  // namespace

struct DeviceProbe::State {
  State(Network& through, Clock& with, config::Device what, std::vector<config::Credential> by)
      : network(through),
        clock(with),
        device(std::move(what)),
        credentials(std::move(by)),
        address(device.address, device.port) {}

  Network& network;
  Clock& clock;
  const config::Device device;
  const std::vector<config::Credential> credentials;
  Address address;

  // Learnt.
  std::optional<std::size_t> credential;  // the one that worked last
  std::optional<DeviceIndex> index;
  std::array<TableMemory, mib::tables.size()> tables;
  std::shared_ptr<const model::DeviceSnapshot> last;

  Patience patience() const {
    const auto& polling = network.polling();
    return {polling.timeout, polling.attempts};
  }

  asio::awaitable<model::Result<RawReading>> read();
  asio::awaitable<std::optional<Error>> open(Endpoint peer);
  asio::awaitable<std::optional<Error>> find_index(Conversation& talk);
  asio::awaitable<std::optional<Error>> read_scalars(Conversation& talk, RawReading& raw);
  asio::awaitable<std::optional<Error>> read_tables(Conversation& talk, RawReading& raw);
};

// Finds out which credential the device takes, all at once: a device that is off then
// costs no more than one that is known.
asio::awaitable<std::optional<Error>> DeviceProbe::State::open(Endpoint peer) {
  Request request;
  request.operation = Operation::get_next;  // in every version of the protocol
  request.names = index_names();
  auto first = co_await exchange_first(network, std::move(peer), credentials, std::move(request), patience());
  if (!first.response) co_return first.response.error();
  if (first.response->refused()) {
    co_return Error{Error::Kind::refused, "asking", device.name,
                    "the agent says " + to_text(first.response->error_status)};
  }
  credential = first.credential;
  if (first.response->error_status == ErrorStatus::no_error && !index) index = index_from(first.response->variables);
  co_return std::nullopt;
}

asio::awaitable<std::optional<Error>> DeviceProbe::State::find_index(Conversation& talk) {
  auto answer = co_await talk.ask_each(Operation::get_next, index_names());
  if (!answer) co_return answer.error();
  index = index_from(*answer);
  co_return std::nullopt;
}

asio::awaitable<std::optional<Error>> DeviceProbe::State::read_scalars(Conversation& talk, RawReading& raw) {
  const auto names = scalar_names(index.value_or(DeviceIndex{}));
  auto answer = co_await talk.ask_each(Operation::get, names);
  if (!answer) co_return answer.error();
  for (std::size_t i = 0; i < names.size(); ++i) {
    auto& variable = (*answer)[i];
    if (!present(variable.value)) continue;
    if (variable.name == names[i]) {
      raw.scalars[i] = std::move(variable.value);
    } else {
      raw.notes.push_back(std::string(mib::scalars[i].object.name) + ": the agent answered for another object");
    }
  }
  co_return std::nullopt;
}

asio::awaitable<std::optional<Error>> DeviceProbe::State::read_tables(Conversation& talk, RawReading& raw) {
  const auto printer = index.value_or(DeviceIndex{}).printer;
  for (std::size_t i = 0; i < mib::tables.size(); ++i) {
    raw.tables[i] = co_await talk.read(mib::tables[i], printer, tables[i]);
    if (talk.lost()) co_return Error{Error::Kind::silent, "asking", device.name, "stopped answering during the poll"};
  }
  co_return std::nullopt;
}

asio::awaitable<model::Result<RawReading>> DeviceProbe::State::read() {
  const auto how = patience();
  auto peer = co_await address.endpoint(clock, clock.steady_now() + how.attempts * how.timeout);
  if (!peer) co_return peer.error();
  if (!credential) {
    auto failed = co_await open(*peer);
    if (failed) co_return std::move(*failed);
  }
  Conversation talk(network, clock, *peer, credentials[*credential], how);
  if (!index) {
    auto failed = co_await find_index(talk);
    if (failed) co_return std::move(*failed);
  }
  RawReading raw;
  auto failed = co_await read_scalars(talk, raw);
  if (failed) co_return std::move(*failed);
  // The rows may have been renumbered since (a reset, another firmware): look again, once.
  const bool moved = !present(raw[mib::scalar::hr_printer_status]) &&
                     !present(raw[mib::scalar::prt_general_config_changes]) && index.has_value();
  if (moved) {
    failed = co_await find_index(talk);
    if (!failed && index) failed = co_await read_scalars(talk, raw);
    if (failed) co_return std::move(*failed);
  }
  if (!index) raw.notes.emplace_back("the agent serves neither a printer's host resources nor the Printer MIB");
  failed = co_await read_tables(talk, raw);
  if (failed) co_return std::move(*failed);
  if (raw.empty()) {
    co_return Error{Error::Kind::nonsense, "asking", device.name, "the agent answers, but without any value"};
  }
  co_return raw;
}

DeviceProbe::DeviceProbe(Network& network, Clock& clock, config::Device device,
                         std::vector<config::Credential> credentials)
    : state_(std::make_unique<State>(network, clock, std::move(device), std::move(credentials))) {}

DeviceProbe::~DeviceProbe() = default;

asio::awaitable<DeviceReading> DeviceProbe::poll() {
  auto& state = *state_;
  auto raw = co_await state.read();
  DeviceReading reading;
  reading.device = state.device.name;
  reading.at = state.clock.wall_now();
  if (raw) {
    reading.reach = Reach::answered;
    reading.snapshot = std::make_shared<const model::DeviceSnapshot>(decode(*raw, state.last.get()));
    state.last = reading.snapshot;
    co_return reading;
  }
  reading.reach = reach_of(raw.error().kind);
  reading.detail = raw.error().what;
  // Next time every credential is tried again, and a name looked up: either may have changed.
  state.credential.reset();
  if (reading.reach == Reach::silent) state.address.doubt();
  co_return reading;
}

}  // namespace frisket::snmp
