#include "probes/snmp/device_probe.h"

#include <algorithm>
#include <array>
#include <chrono>
#include <functional>
#include <optional>
#include <string>
#include <utility>

#include "probes/snmp/address.h"
#include "probes/snmp/conversation.h"
#include "probes/snmp/decode.h"
#include "probes/snmp/plan.h"
#include "probes/snmp/round_trip.h"
#include "probes/snmp/standing_request.h"
#include "probes/snmp/watch.h"

namespace frisket::snmp {

namespace asio = boost::asio;
using model::DeviceReading;
using model::Error;
using model::Reach;

namespace {

using namespace std::chrono_literals;

// Everything is read again after this time, since no counter counts everything.
constexpr model::SteadyTime::duration kRefresh = 1h;
// What nothing tells the changes of is read again more often: the tables that did not fit into
// the watch, the interfaces, and the inventory of a device without prtGeneralConfigChanges.
constexpr model::SteadyTime::duration kPartRefresh = 10min;

// What has gaps is read again soon, since it may have been a passing fault, and then after as long as it has
// had the same: what was broken for a minute is right again within another.
constexpr model::SteadyTime::duration kFirstDoubt = 10s;

// An agent that numbers its rows anew at each poll would lack more and more.
constexpr std::size_t kMostLackingCells = 512;

// The first refresh comes early, sooner for some devices than for others, so that a fleet
// that was started in one second is not refreshed in one.
model::SteadyTime::duration first_refresh(std::string_view device) {
  const auto share = std::hash<std::string_view>{}(device) % 1024;
  return kRefresh / 2 + kRefresh / 2 * share / 1024;
}

// New rows without a new count.
bool uncounted(const model::DeviceSnapshot& before, const model::DeviceSnapshot& now) {
  if (before.general.all_events != now.general.all_events) return false;
  return std::ranges::any_of(now.alerts, [&](const model::Alert& alert) {
    return std::ranges::find(before.alerts, alert.index, &model::Alert::index) == before.alerts.end();
  });
}

TableSet inventory_without_counter() {
  TableSet set;
  for (const auto id : {mib::TableId::inputs, mib::TableId::outputs, mib::TableId::supplies, mib::TableId::colorants})
    set.set(static_cast<std::size_t>(id));
  return set;
}

Reach reach_of(Error::Kind kind) {
  switch (kind) {
    case Error::Kind::refused:
      return Reach::refused;
    case Error::Kind::unknown_user:
      return Reach::unknown_user;
    case Error::Kind::wrong_key:
      return Reach::wrong_key;
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
  State(Network& through, Clock& with, const config::Device& device, config::Credentials by)
      : network(through),
        clock(with),
        name(device.name),
        credentials(std::move(by)),
        address(device.address, device.port) {}

  // What a poll of a device that stands still touches comes first, and fits three cache lines: with
  // thousands of devices that is most of what such a poll costs.
  Network& network;
  Clock& clock;
  std::unique_ptr<StandingRequest> standing;  // asks what the watch wants; made when first needed
  std::shared_ptr<const model::DeviceSnapshot> last;
  model::SteadyTime refresh_at;
  model::SteadyTime part_refresh_at;
  model::SteadyTime up_time_at;
  std::optional<std::uint32_t> up_time;  // 1/100 s, as of up_time_at
  TableSet owed;                         // a reading of them was interrupted
  RoundTrip round_trip;
  const std::string name;  // the device's

  const config::Credentials credentials;
  Address address;

  // Learnt.
  std::optional<std::size_t> credential;                                 // the one that worked last
  std::vector<UsmPeer> usm = std::vector<UsmPeer>(credentials->size());  // the engine, for each credential
  std::optional<DeviceIndex> index;
  std::array<TableMemory, mib::tables.size()> tables;
  TableSet lacking;  // tables without a row, on a device that counts changes of its inventory
  std::vector<Watch::Item> lacking_cells;
  TableSet sound;                                 // tables that could be read to their end, once at least
  bool alerts_gone = false;                       // as the last answer to the watch says of each alert row
  std::optional<model::SteadyTime> broken_since;  // one of these cannot be read to its end any more
  model::SteadyTime full_refresh_at;              // refresh_at, but for doubts
  model::SteadyTime gaps_since;                   // the gaps of `last` are the same
  bool counters_lie = false;                      // alert rows came that prtAlertAllEvents did not count
  Watch watch;                                    // empty until everything has been read

  Patience patience() const {
    const auto& polling = network.polling();
    return {polling.timeout, polling.attempts, round_trip.timeout(polling.timeout)};
  }

  using Snapshot = std::shared_ptr<const model::DeviceSnapshot>;

  asio::awaitable<model::Result<Snapshot>> read();
  asio::awaitable<model::Result<Snapshot>> read_all(Conversation& talk);
  asio::awaitable<model::Result<Snapshot>> read_moved(Conversation& talk);
  asio::awaitable<model::Result<Snapshot>> take(Conversation& talk, std::vector<VarBind> answers);
  asio::awaitable<model::Result<Snapshot>> take_standing(StandingRequest::Answer answer);
  StandingRequest* standing_request();
  bool note_up_time(std::optional<std::uint32_t> ticks);
  void settle(const RawReading& raw, TableSet were_read, Snapshot snapshot);
  void hold_broken(RawReading& raw, TableSet were_read);
  void doubt_gaps(const std::vector<std::string>& before);
  void learn_lacking(const RawReading& raw);
  void forget_learnt();
  asio::awaitable<std::optional<Error>> open(Endpoint peer);
  asio::awaitable<std::optional<Error>> find_index(Conversation& talk);
  asio::awaitable<std::optional<Error>> read_scalars(Conversation& talk, RawReading& raw);
  asio::awaitable<std::optional<Error>> read_tables(Conversation& talk, RawReading& raw, TableSet which);
};

// Finds out which credential the device takes, all at once: a device that is off then
// costs no more than one that is known.
asio::awaitable<std::optional<Error>> DeviceProbe::State::open(Endpoint peer) {
  Request request;
  request.operation = Operation::get_next;  // in every version of the protocol
  request.names = index_names();
  auto first = co_await exchange_first(network, std::move(peer), *credentials, std::move(request), patience(), usm);
  if (!first.response) co_return first.response.error();
  if (first.response->refused()) {
    co_return Error{Error::Kind::refused, "asking", name, "the agent says " + to_text(first.response->error_status)};
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
    if (std::holds_alternative<Null>(variable.value) && variable.name == names[i])
      raw.notes.push_back(std::string(mib::scalars[i].object.name) + ": an answer without a value");
    if (!present(variable.value)) continue;
    if (variable.name == names[i]) {
      raw.scalars[i] = std::move(variable.value);
    } else {
      raw.notes.push_back(std::string(mib::scalars[i].object.name) + ": the agent answered for another object");
    }
  }
  co_return std::nullopt;
}

asio::awaitable<std::optional<Error>> DeviceProbe::State::read_tables(Conversation& talk, RawReading& raw,
                                                                      TableSet which) {
  const auto printer = index.value_or(DeviceIndex{}).printer;
  for (std::size_t i = 0; i < mib::tables.size(); ++i) {
    if (!which.test(i)) continue;
    raw.tables[i] = co_await talk.read(mib::tables[i], printer, tables[i]);
    if (talk.lost()) co_return Error{Error::Kind::silent, "asking", name, "stopped answering during the poll"};
  }
  co_return std::nullopt;
}

void DeviceProbe::State::forget_learnt() {
  index.reset();
  tables = {};
  lacking.reset();
  lacking_cells.clear();
  owed.reset();
  alerts_gone = false;
  counters_lie = false;
  up_time.reset();
  watch = {};
  standing.reset();
}

// What follows for the next polls.
void DeviceProbe::State::settle(const RawReading& raw, TableSet were_read, Snapshot snapshot) {
  for (std::size_t i = 0; i < raw.tables.size(); ++i) {
    if (!were_read.test(i)) continue;
    // What was gone from a table that could not be read may not be lacking.
    if (owed.test(i) || !raw.tables[i].complete)
      std::erase_if(lacking_cells, [&](const Watch::Item& cell) { return cell.table == i; });
    owed.set(i, !raw.tables[i].complete);
    if (raw.tables[i].complete && !raw.tables[i].broken) sound.set(i);
  }
  const auto before = std::exchange(last, std::move(snapshot));
  doubt_gaps(before ? before->gaps : std::vector<std::string>());
  const auto counters = counters_lie ? AlertCounters::not_trusted : AlertCounters::trusted;
  watch = index ? Watch(*last, *index, counters, lacking_cells) : Watch();
  standing.reset();
}

// A table that could be read once and breaks off now is not taken for a shorter one: what was there stays,
// and is asked for at each poll. After so long that it may well be the device's way, its word counts.
void DeviceProbe::State::hold_broken(RawReading& raw, TableSet were_read) {
  const auto now = clock.steady_now();
  bool any = false;
  for (std::size_t i = 0; i < raw.tables.size(); ++i) {
    auto& table = raw.tables[i];
    if (!last || !were_read.test(i) || !table.complete || !table.broken || !sound.test(i)) continue;
    // Some agents answer oddly for a table without rows; that each known row is gone, it has said plainly.
    if (i == static_cast<std::size_t>(mib::TableId::alerts) && alerts_gone && table.rows.empty()) continue;
    any = true;
    if (!broken_since) broken_since = now;
    if (now - *broken_since < kRefresh) table.complete = false;
  }
  if (!any && (were_read & owed) == owed) broken_since.reset();
}

void DeviceProbe::State::doubt_gaps(const std::vector<std::string>& before) {
  if (last->gaps.empty()) refresh_at = full_refresh_at;
  const bool due_already = last->gaps == before && refresh_at < full_refresh_at;
  if (last->gaps.empty() || due_already) return;
  const auto now = clock.steady_now();
  if (last->gaps != before) gaps_since = now;
  const auto doubt = std::clamp<model::SteadyTime::duration>(now - gaps_since, kFirstDoubt, kRefresh);
  refresh_at = std::min(refresh_at, now + doubt);
}

// Tables without a row stay so until the device counts a change; alerts and the console come and go.
void DeviceProbe::State::learn_lacking(const RawReading& raw) {
  for (std::size_t i = 0; i < raw.tables.size(); ++i)
    if (raw.tables[i].complete && raw.tables[i].rows.empty() && raw.tables[i].notes.empty()) lacking.set(i);
  for (const auto id : {mib::TableId::alerts, mib::TableId::console, mib::TableId::lights})
    lacking.reset(static_cast<std::size_t>(id));
}

asio::awaitable<model::Result<DeviceProbe::State::Snapshot>> DeviceProbe::State::read_all(Conversation& talk) {
  const auto place = co_await network.full_readings().enter();
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
  raw.host_index = index ? index->host : 0;
  for (std::size_t i = 0; i < raw.tables.size(); ++i) raw.tables[i].complete = lacking.test(i);
  failed = co_await read_tables(talk, raw, ~lacking);
  if (failed) co_return std::move(*failed);
  if (raw.empty()) {
    co_return Error{Error::Kind::nonsense, "asking", name, "the agent answers, but without any value"};
  }

  hold_broken(raw, ~lacking);
  auto fresh = decode(raw, last.get());
  if (is_nonsense(raw, fresh)) {
    forget_learnt();
    co_return Error{Error::Kind::nonsense, "asking", name,
                    "most of its answers are of another type than asked for, or about other objects"};
  }
  const auto now = clock.steady_now();
  refresh_at = full_refresh_at = now + (last ? kRefresh : first_refresh(name));
  part_refresh_at = now + kPartRefresh;
  up_time = fresh.system.up_time;
  up_time_at = now;
  if (fresh.general.config_changes) learn_lacking(raw);
  if (last && !watch.empty() && uncounted(*last, fresh)) counters_lie = true;
  // The same object for the same content: downstream it costs nothing then.
  if (last) fresh.system.up_time = last->system.up_time;
  const bool same = last && *last == fresh;
  fresh.system.up_time = up_time;
  settle(raw, ~lacking, same ? last : std::make_shared<const model::DeviceSnapshot>(std::move(fresh)));
  co_return last;
}

asio::awaitable<model::Result<DeviceProbe::State::Snapshot>> DeviceProbe::State::read_moved(Conversation& talk) {
  auto answers = co_await talk.ask_each(watch.operation(), watch.names());
  if (!answers) co_return answers.error();
  co_return co_await take(talk, std::move(*answers));
}

// Whether the device has started again since the last time.
bool DeviceProbe::State::note_up_time(std::optional<std::uint32_t> ticks) {
  const auto now = clock.steady_now();
  if (up_time && ticks && has_restarted(*up_time, *ticks, now - up_time_at)) return true;
  up_time = ticks;
  up_time_at = now;
  return false;
}

// What the watch asked for: one answer for each name.
asio::awaitable<model::Result<DeviceProbe::State::Snapshot>> DeviceProbe::State::take(Conversation& talk,
                                                                                      std::vector<VarBind> answers) {
  auto outcome = watch.take(answers, last);
  if (note_up_time(outcome.up_time) || outcome.everything) {
    forget_learnt();
    co_return co_await read_all(talk);
  }
  alerts_gone = outcome.alerts_gone;
  auto again = outcome.again | owed;
  // Rows are numbered otherwise than before, uncounted.
  const bool renumbered = 2 * outcome.gone.size() > watch.cells();
  if (renumbered) again |= ~TableSet();
  if (renumbered || last->general.config_changes != outcome.snapshot->general.config_changes) {
    lacking.reset();
    lacking_cells.clear();
    tables = {};
  }
  if (clock.steady_now() >= part_refresh_at) {
    part_refresh_at = clock.steady_now() + kPartRefresh;
    again |= watch.left_out();
    if (!last->interfaces.empty()) again.set(static_cast<std::size_t>(mib::TableId::interfaces));
    if (!last->general.config_changes) {
      again |= inventory_without_counter();
      lacking_cells.clear();
    }
  }
  if (lacking_cells.size() > kMostLackingCells) lacking_cells.clear();
  lacking_cells.insert(lacking_cells.end(), outcome.gone.begin(), outcome.gone.end());
  again &= ~lacking;
  if (again.none()) {
    last = outcome.snapshot;
    if (standing) standing->remember();
    co_return last;
  }
  RawReading raw;
  auto failed = co_await read_tables(talk, raw, again);
  if (failed) co_return std::move(*failed);
  hold_broken(raw, again);
  auto fresh = decode_tables(raw, again, *outcome.snapshot);
  const bool same = *last == fresh;
  settle(raw, again, same ? last : std::make_shared<const model::DeviceSnapshot>(std::move(fresh)));
  co_return last;
}

// What asks for the watch's objects in the cheapest way; null when more than that is due.
StandingRequest* DeviceProbe::State::standing_request() {
  const auto now = clock.steady_now();
  if (owed.any() || now >= refresh_at || now >= part_refresh_at) return nullptr;
  if (standing && standing->is_for_good()) return standing.get();
  if (!credential || watch.empty()) return nullptr;
  const auto* peer = address.known();
  if (peer == nullptr) return nullptr;
  const auto& by = (*credentials)[*credential];
  if (!StandingRequest::speaks(by.version)) return nullptr;
  if (!standing || standing->peer() != *peer || &standing->credential() != &by) {
    Request request;
    request.operation = watch.operation();
    request.names = watch.names();
    standing = StandingRequest::make(network, *peer, by, request, watch.up_time_first(), address.is_literal());
  }
  return standing.get();
}

asio::awaitable<model::Result<DeviceProbe::State::Snapshot>> DeviceProbe::State::take_standing(
    StandingRequest::Answer answer) {
  if (!answer.response) co_return answer.response.error();
  Conversation talk(network, clock, standing->peer(), (*credentials)[*credential], patience(), &usm[*credential],
                    &round_trip);
  if (answer.unchanged) {  // but with a sysUpTime of another start
    forget_learnt();
    co_return co_await read_all(talk);
  }
  auto& response = *answer.response;
  const bool whole = response.error_status == ErrorStatus::no_error && response.variables.size() == watch.size();
  if (!whole) co_return co_await read_moved(talk);
  co_return co_await take(talk, std::move(response.variables));
}

asio::awaitable<model::Result<DeviceProbe::State::Snapshot>> DeviceProbe::State::read() {
  const auto how = patience();
  auto peer = co_await address.endpoint(clock, clock.steady_now() + how.attempts * how.timeout);
  if (!peer) co_return peer.error();
  if (!credential) {
    auto failed = co_await open(*peer);
    if (failed) co_return std::move(*failed);
  }
  Conversation talk(network, clock, *peer, (*credentials)[*credential], how, &usm[*credential], &round_trip);
  const bool refresh = clock.steady_now() >= refresh_at;
  if (refresh && last && !last->gaps.empty()) {  // what has been learnt may be the fault's
    tables = {};
    lacking.reset();
    lacking_cells.clear();
  }
  if (watch.empty() || refresh) co_return co_await read_all(talk);
  co_return co_await read_moved(talk);
}

DeviceProbe::DeviceProbe(Network& network, Clock& clock, const config::Device& device, config::Credentials credentials)
    : state_(std::make_unique<State>(network, clock, device, std::move(credentials))) {}

DeviceProbe::~DeviceProbe() = default;

asio::awaitable<DeviceReading> DeviceProbe::poll() {
  auto& state = *state_;
  model::Result<State::Snapshot> snapshot = state.last;
  if (auto* standing = state.standing_request()) {
    auto answer = co_await standing->ask(state.patience());
    if (answer.response && answer.response->round_trip) state.round_trip.sample(*answer.response->round_trip);
    if (!answer.unchanged || state.note_up_time(answer.up_time))
      snapshot = co_await state.take_standing(std::move(answer));
  } else {
    snapshot = co_await state.read();
  }
  DeviceReading reading;
  reading.device = state.name;
  reading.at = state.clock.wall_now();
  if (snapshot) {
    reading.reach = Reach::answered;
    reading.snapshot = std::move(*snapshot);
    co_return reading;
  }
  reading.reach = reach_of(snapshot.error().kind);
  reading.detail = snapshot.error().what;
  // Next time every credential is tried again, and a name looked up: either may have changed.
  state.credential.reset();
  state.standing.reset();
  state.round_trip.forget();
  if (reading.reach == Reach::silent) state.address.doubt();
  co_return reading;
}

}  // namespace frisket::snmp
