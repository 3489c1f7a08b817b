// How often things fail, with the honest limits of the figure.
//
// Jams are counts of rare events over an exposure (sheets), so their limits are Garwood's
// exact Poisson limits and a comparison is the exact conditional one; looking at a hundred
// devices at once is paid for by Holm's step-down. Times between and to repair are given with
// what was still open or not yet seen when the window closed. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "daemon/upkeep/history.h"

namespace frisket::upkeep {

struct Limits {
  double low = 0;
  double high = 0;
};

// Two-sided limits of a Poisson mean after `events` were seen (Garwood 1936): chi-square
// quantiles with 2k and 2k + 2 degrees of freedom. For 0 events the low limit is 0 and the
// high one is the two-sided 3.689, not the one-sided "rule of three" 2.996.
Limits garwood(std::int64_t events, double confidence = 0.95);

struct Rate {
  std::int64_t events = 0;
  double exposure = 0;  // sheets, impressions, hours
  double per = 1;       // 10000 for "per 10,000 sheets"
  double value = 0;     // per `per`
  Limits limits;        // per `per`
};

// Nothing where the exposure is not above zero: no sheets, no rate.
std::optional<Rate> rate(std::int64_t events, double exposure, double per = 10000, double confidence = 0.95);

// Whether two Poisson rates differ: given the sum of the events, those of the first are binomial
// with p = exposure share (Przyborowski and Wilenski 1940). Two-sided p value that sums all
// outcomes no likelier than the seen one, as R's poisson.test does. 1 for no events at all.
double compare_rates(std::int64_t events, double exposure, std::int64_t other_events, double other_exposure);

// Holm 1979: p values adjusted so that, compared with 0.05, the chance of even one false claim
// among all of them stays under 5 %. In the order given. Chosen over Benjamini-Hochberg because
// each claim sends somebody to a device, and fleets are small.
std::vector<double> holm(std::span<const double> p_values);

// One device (tray, model) against the rest of its fleet.
struct JamRecord {
  std::string name;
  std::int64_t jams = 0;
  double sheets = 0;
};
struct JamFigure {
  std::string name;
  Rate rate;
  double ratio = 0;       // to the rest; 0 where either has no jams
  double p_adjusted = 1;  // Holm, over all records compared
  bool worse = false;     // more than the rest, p_adjusted < 0.05
  bool better = false;
};
// Records without sheets are left out. In the order given.
std::vector<JamFigure> compare_jams(std::span<const JamRecord> records, double confidence = 0.95);

struct Availability {
  std::optional<double> share;  // of the observed time; nothing where nothing was observed
  Milliseconds observed{0};     // window without the stretches in which nobody looked
  Milliseconds down{0};         // overlapping incidents count once
};

// `unobserved`: stretches in which the daemon did not look; they count as neither up nor down.
Availability availability(std::span<const IncidentSpan> incidents, std::span<const Span> unobserved, Span window);

// Of one kind of incident within a window of observation.
struct RepairFigures {
  std::int64_t incidents = 0;  // begun within the window
  std::int64_t open = 0;       // of them, not over when it closed
  // Total time of all devices under observation and not under repair, over the incidents that began: the maximum
  // likelihood figure for a constant rate, in which the last, unfinished stretch counts too. Nothing where there is no
  // such time: what broke while nobody looked does not make it nought.
  std::optional<Milliseconds> mean_between;
  Milliseconds between_low{0};               // limits by Garwood's on the count
  std::optional<Milliseconds> between_high;  // nothing: no upper limit, as nothing has happened or nobody looked
  // Total repair time, open ones up to the window's end included, over the finished repairs: an
  // open repair is a lower bound, not a repair of that length. Nothing while none is finished.
  std::optional<Milliseconds> mean_repair;
  std::optional<Milliseconds> median_repair;  // Kaplan-Meier; nothing where more than half are open
};

// One device's incidents of the kind, and when nobody looked at it.
struct DeviceIncidents {
  std::vector<IncidentSpan> incidents;
  std::span<const Span> unobserved;
};

// How long somebody looked at a device within the window.
Milliseconds observed_time(std::span<const Span> unobserved, Span window);

// `observed`: observed_time() of all devices that are watched, those without such an incident too, added up: of two
// devices, two hours pass in an hour.
RepairFigures repair_figures(std::span<const DeviceIncidents> of_one_kind, Milliseconds observed, Span window,
                             double confidence = 0.95);

}  // namespace frisket::upkeep
