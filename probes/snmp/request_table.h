// Requests that wait for an answer: found by id, checked by source, due again by time.
//
// Knows neither sockets nor clocks: times are handed in, and what is due is handed
// out. Deadlines belong to one attempt; a request has a number of attempts, all with
// the same request id, so that a late answer to the first still counts. Used by
// Network, on the io_context's thread.
#pragma once

#include <boost/asio/ip/udp.hpp>
#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <unordered_map>

#include "probes/model/time.h"

namespace frisket::snmp {

using Endpoint = boost::asio::ip::udp::endpoint;

// How long to wait for one answer, and how often to ask meanwhile.
struct Patience {
  model::Milliseconds timeout{1500};  // of one attempt, at most
  int attempts = 3;                   // in all
  // The first attempt's time-out, where less is known to do. The whole wait is as long as without: a lost
  // datagram is soon made good, and a device that wakes up is not given up for it.
  std::optional<model::SteadyTime::duration> first = std::nullopt;

  model::SteadyTime::duration whole() const { return timeout * attempts; }
};

class RequestTable {
  using Deadlines = std::multimap<model::SteadyTime, std::int32_t>;

 public:
  // One request in the table; what it is for is the derived type's affair. Owned by
  // whoever waits, who removes it before it dies.
  class Entry {
   public:
    Entry(Endpoint to, Patience how) : peer(std::move(to)), patience(how), attempts_left(how.attempts) {}
    Entry(const Entry&) = delete;
    Entry& operator=(const Entry&) = delete;

    const Endpoint peer;
    const Patience patience;

    std::int32_t id() const { return id_; }
    // When the first attempt went out, and whether there was another: then nobody knows which of them
    // was answered.
    model::SteadyTime sent_at() const { return sent_at_; }
    bool sent_once() const { return attempts_left == patience.attempts - 1; }
    bool listed() const { return listed_; }
    // Something came from the peer that was not an answer.
    bool garbled() const { return garbled_; }
    void mark_garbled() { garbled_ = true; }

   protected:
    ~Entry() = default;

   private:
    friend class RequestTable;
    std::int32_t id_ = 0;
    int attempts_left;
    bool listed_ = false;
    bool garbled_ = false;
    model::SteadyTime sent_at_;
    Deadlines::iterator deadline_;
  };

  enum class Match { found, unknown_id, wrong_source };

  // Ids run up from `first_id` (the caller draws it at random) through kFirstId .. 2^31-1 and
  // around: at 100,000 requests a second an id comes back after six hours, and never
  // while a request with it is in the table. All take four octets on the wire, so that one can
  // be put in the place of another.
  static constexpr std::uint32_t kFirstId = 1U << 24U;
  explicit RequestTable(std::uint32_t first_id);

  // Gives the entry its id. It is not yet in the table: its message has to be made first.
  void assign_id(Entry& entry);

  // The first attempt goes out at `now`. The entry must have an id and not be listed.
  void add(Entry& entry, model::SteadyTime now);

  // Takes it out; nothing if it is not in.
  void remove(Entry& entry);

  // Which request a message with this id from this source answers. A found entry stays
  // in until removed.
  struct Found {
    Match match = Match::unknown_id;
    Entry* entry = nullptr;
  };
  Found find(std::int32_t id, const Endpoint& source) const;

  // A message without a usable id came from this address: remembered for every request
  // that waits for it.
  void mark_garbled(const Endpoint& source);

  // When something is due next.
  std::optional<model::SteadyTime> next_due() const;

  // What is due at `now`, one at a time: either another attempt, whose deadline is then set
  // from now, or the end, after which it is no longer in the table. Nothing when nothing is due.
  struct Due {
    Entry* entry = nullptr;
    bool again = false;
  };
  std::optional<Due> take_due(model::SteadyTime now);

  // Any one entry, for emptying the table.
  Entry* any() const;

  std::size_t size() const { return entries_.size(); }

 private:
  static model::SteadyTime deadline_of(const Entry& entry, model::SteadyTime now);

  std::unordered_map<std::int32_t, Entry*> entries_;
  Deadlines deadlines_;
  std::uint32_t next_id_;
};

}  // namespace frisket::snmp
