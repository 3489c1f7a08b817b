// The agent: one request and one device's objects in, one answer out (RFC 3416 section 4.2;
// RFC 1157 section 4.1 for version 1).
//
// Read only: SET is answered noAccess. Pure but for its scratch buffers; one thread.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "tests/simfleet/message.h"
#include "tests/simfleet/view.h"

namespace frisket::simfleet {

struct Limits {
  std::size_t message = 1472;  // the longest answer; a longer one becomes tooBig
  std::size_t bulk = 1400;     // GETBULK stops adding variables here
};

class Agent {
 public:
  // The answer into `out`; false if there is none (the request's own list is malformed, or
  // is no request: notifications, answers, GETBULK in version 1).
  bool answer(const Request& request, const View& view, const Limits& limits, std::string& out);

 private:
  // Where the names of one GET's list were found in one model's objects. Pollers ask for the same
  // list again and again; then nothing needs to be looked up.
  struct Step {
    std::string_view name;              // into the plan's key
    const Mib::Entry* entry = nullptr;  // nullptr: not among the model's objects
  };
  using Plan = std::vector<Step>;

  bool get(const Request& request, const View& view);
  const Plan* plan_for(const Request& request, const Mib& mib);
  bool missing(std::string_view name, const View& view);
  bool get_next(const Request& request, const View& view);
  bool get_bulk(const Request& request, const View& view, std::size_t room);
  void append(std::string_view name, std::string_view value);

  std::string list_;
  std::unordered_map<const Mib*, std::unordered_map<std::string, Plan>> plans_;
  std::string key_;
  Oid oid_;
  std::size_t failed_ = 0;  // version 1: the variable that has no such name
  std::vector<View::Cursor> cursors_;
  std::vector<std::string_view> asked_;
};

}  // namespace frisket::simfleet
