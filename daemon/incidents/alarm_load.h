// How much the fleet asks of those who look after it, counted as the alarm standards count.
//
// Sources. Read: EEMUA 191's average rates and its counts after an upset, as RFC 8632 quotes them in its
// Tables 4 and 5. From memory: flood, chattering, stale and the share of the ten most frequent (ANSI/ISA-18.2).
// Their numbers are for one operator: the fleet's are right where one person looks after all of it, a
// site's where each site has its own. Counted is what is announced: each raising, also that of an incident
// which comes back, but none of planned work. Pure; one owner, one thread.
#pragma once

#include <cstddef>
#include <deque>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/incidents/incident.h"

namespace frisket::incidents {

inline constexpr std::chrono::minutes kLoadPeriod{10};
inline constexpr std::chrono::hours kLoadKept{24 * 7};
// One in a minute for a week: of more than that no verdict gets any worse. The oldest is forgotten first.
inline constexpr std::size_t kRaisingsKept = 10'080;
inline constexpr std::size_t kNoisiest = 10;
inline constexpr std::size_t kFloodBegins = 10;  // or more in a period; from memory
inline constexpr std::size_t kFloodEnds = 5;     // fewer in a period; from memory
inline constexpr std::size_t kFloodsTold = 20;
inline constexpr std::chrono::hours kStaleAfter{24};  // from memory

// EEMUA's words for a long-term average. It names points; a rate between two of them is given the worse word.
enum class RateVerdict {
  very_likely_acceptable,    // less than 1 in 10 minutes
  manageable,                // up to 1 in 5 minutes
  likely_over_demanding,     // up to 1 in a minute (the point is 1 in 2)
  very_likely_unacceptable,  // more than 1 in a minute
};

// EEMUA's words for the count in the 10 minutes after an upset; it has none for 10 to 19.
enum class PeakVerdict { normally_fine, no_verdict, difficult_to_handle, definitely_excessive };

std::string_view to_text(RateVerdict verdict);  // "very-likely-acceptable"
std::string_view to_text(PeakVerdict verdict);  // "normally-fine", "no-verdict"

RateVerdict rate_verdict(std::size_t raised, std::chrono::minutes over);
PeakVerdict peak_verdict(std::size_t raised_in_period);

// Of the time up to now. Averages are over the whole span, also where the history is shorter.
struct LoadOver {
  std::size_t raised = 0;
  double per_hour = 0;
  double per_ten_minutes = 0;
  std::size_t peak = 0;  // most in any 10 minutes
  RateVerdict rate = RateVerdict::very_likely_acceptable;
  PeakVerdict worst = PeakVerdict::normally_fine;
  friend bool operator==(const LoadOver&, const LoadOver&) = default;
};

struct PlaceLoad {
  std::string site;  // empty: the fleet
  LoadOver hour, day, week;
  bool in_flood = false;
  friend bool operator==(const PlaceLoad&, const PlaceLoad&) = default;
};

struct NoisyPair {
  std::string device;  // empty: of no device (site-silent)
  std::string kind;
  std::size_t raised = 0;
  friend bool operator==(const NoisyPair&, const NoisyPair&) = default;
};

struct Flood {
  WallTime from;
  std::optional<WallTime> until;  // nothing: not over
  std::size_t raised = 0;         // from the first of the period in which it began
  friend bool operator==(const Flood&, const Flood&) = default;
};

struct LoadFigures {
  PlaceLoad fleet;
  std::vector<PlaceLoad> sites;     // those with a raising or anything open, by name
  std::vector<NoisyPair> noisiest;  // of the week, the worst first, at most kNoisiest
  double noisiest_share = 0;        // their part of the week's raisings, 0 to 1
  std::size_t chattering = 0;
  std::size_t stale = 0;                     // raised for longer than kStaleAfter, and not set aside by the operator
  std::vector<Flood> floods;                 // of the fleet within the week, the latest kFloodsTold, oldest first
  std::optional<WallTime> forgotten_before;  // what is older was too much to be kept
};

// Of instants in order. A flood begins with the raising that makes kFloodBegins in a period and ends as soon as
// a period holds fewer than kFloodEnds.
std::vector<Flood> floods_of(const std::vector<WallTime>& raisings, WallTime now);

// Most of them in any period of 10 minutes; in order.
std::size_t peak_of(const std::vector<WallTime>& raisings);

class AlarmLoad {
 public:
  void note(const Transition& transition);

  // After a restart, from what is kept of incidents (each knows its newest kChangesKept changes). Replaces
  // whatever was noted before.
  void restore(const std::vector<const Incident*>& incidents);

  LoadFigures figures(WallTime now) const;

 private:
  struct Raising {
    WallTime at;
    std::string site, device, kind;
  };
  struct Open {
    WallTime since;
    std::string site;
    bool chattering = false;
    bool set_aside = false;
  };

  void add(Raising raising);
  void follow(const Incident& incident, WallTime since);
  PlaceLoad place_load(std::string site, const std::vector<WallTime>& raisings, WallTime now) const;

  std::deque<Raising> raisings_;      // in order of time, at most kRaisingsKept
  std::map<std::string, Open> open_;  // by id: raised; as many as the correlator has open
  std::optional<WallTime> forgotten_before_;
};

}  // namespace frisket::incidents
