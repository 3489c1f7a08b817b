// What the witnesses say, before it is settled: claims, gathered by keyword and subunit.
//
// Each witness file (witnesses.h) adds its claims; the same thing said twice is one claim with two
// witnesses. settle() then decides severity and training from all that was said, and gives
// conditions. Pure; any thread.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "daemon/incidents/incident.h"
#include "probes/model/device.h"

namespace frisket::incidents {

struct Claim {
  std::vector<Witness> witnesses;
  std::string device_text;           // the device's own words, if it has any
  bool critical_row = false;         // a critical alert row, or the subunit's status with critical alerts
  bool warning_row = false;          // a row, or the subunit's status, with a non-critical alert
  bool lasting_row = false;          // a row that behaves as a state (critical or binary)
  std::optional<Severity> at_least;  // what the witness itself knows: how low, what else there is
  std::optional<Training> training;  // the device's own word
};

class Claims {
 public:
  using Key = std::pair<Subunit, std::string>;  // subunit and keyword

  // Adds a witness to the claim, which is made if it is new. The reference is valid until the
  // next call that changes anything.
  Claim& add(const std::string& keyword, const Subunit& subunit, Witness witness);

  const Claim* find(const std::string& keyword, const Subunit& subunit) const;
  bool any_at(const Subunit& subunit) const;
  bool any_critical_row() const;
  bool empty() const { return claims_.empty(); }

  // Adds the witness to each claim for which says(keyword, subunit) holds; false if there was none.
  template <class Predicate>
  bool add_to(Predicate says, const Witness& witness) {
    bool found = false;
    for (auto& [key, claim] : claims_) {
      if (!says(key.second, key.first)) continue;
      claim.witnesses.push_back(witness);
      found = true;
    }
    return found;
  }

  const std::map<Key, Claim>& all() const { return claims_; }
  std::map<Key, Claim>& all() { return claims_; }

 private:
  std::map<Key, Claim> claims_;
};

// Conditions in order of subunit and keyword. `since` is left at `at`.
std::vector<Condition> settle(const Claims& claims, const model::DeviceSnapshot& snapshot, WallTime at);

}  // namespace frisket::incidents
