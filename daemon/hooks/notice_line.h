// The notices that wait for one hook.
//
// Those of one incident leave one after the other, in order: the next only when the one before
// was told. Between incidents, first come, first served. Bounded. Every operation takes time that
// does not grow with what waits, except clear(). Pure; one thread.
#pragma once

#include <cstddef>
#include <deque>
#include <map>
#include <memory>
#include <optional>
#include <string>

#include "daemon/incidents/incident.h"

namespace frisket::hooks {

// Shared by the lines of all hooks that it waits for; changed by nobody.
using Notice = std::shared_ptr<const incidents::Transition>;

class NoticeLine {
 public:
  explicit NoticeLine(std::size_t most) : most_(most) {}

  // False if the line is full: the notice is not taken.
  bool add(Notice notice);

  // The next notice that may be told now. Its incident is busy from now on.
  std::optional<Notice> next();

  // The notice of this incident that next() gave has been told, or never will be.
  void told(const std::string& incident);

  bool has_next() const { return !ready_.empty(); }
  std::size_t waiting() const { return waiting_; }

  // Drops what waits; what is busy stays so. Returns how many were dropped.
  std::size_t clear();

 private:
  struct OfIncident {
    std::deque<Notice> waiting;
    bool busy = false;
  };

  std::size_t most_;
  std::size_t waiting_ = 0;
  std::map<std::string, OfIncident> incidents_;  // those with something waiting or busy
  std::deque<std::string> ready_;                // not busy and with something waiting
};

}  // namespace frisket::hooks
