// A disk that fails at a chosen moment: SQLite's file layer, wrapped, while one lives.
//
// Each call that changes something counts, from 1: a write, a sync, a cut to a length, a removal, a file made. Syncs
// are not handed on: the machine under the test stays up, and what a power cut takes is played here.
#pragma once

#include <cstdint>
#include <memory>

namespace frisket::store::testing {

enum class Fault {
  none,
  killed,          // the process is killed before the call
  killed_halfway,  // a write gets half of its octets into the file; then killed
  power_cut,       // of what was written and not synced some is lost, some is torn; then killed
  no_room,         // a write gets half of its octets into the file and fails; no file can be made
  broken,          // the call does nothing and fails
};

struct Plan {
  Fault fault = Fault::none;
  std::uint64_t at = 0;    // the call
  bool lasting = false;    // and all calls after it, if the process lives
  std::uint32_t luck = 1;  // what a power cut takes
};

class FaultyDisk {
 public:
  FaultyDisk();
  ~FaultyDisk();
  FaultyDisk(const FaultyDisk&) = delete;
  FaultyDisk& operator=(const FaultyDisk&) = delete;

  void plan(Plan plan);  // counts anew
  std::uint64_t calls() const;

  struct State;

 private:
  std::unique_ptr<State> state_;
};

}  // namespace frisket::store::testing
