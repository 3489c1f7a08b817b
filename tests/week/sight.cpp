#include "sight.h"

#include <algorithm>

namespace frisket::week {

using namespace std::chrono_literals;

Sights::Site& Sights::site_named(const std::string& name) {
  const auto found = std::ranges::find(sites_, name, &Site::name);
  if (found != sites_.end()) return *found;
  sites_.push_back({name, {}});
  return sites_.back();
}

Sights::Sights(const std::vector<Truth>& truths, const std::vector<Member>& fleet) {
  std::map<std::string, std::size_t> numbers;
  for (const auto& member : fleet) {
    numbers.emplace(member.name, devices_.size());
    auto& site = site_named(member.site);
    ++site.devices;
    devices_.push_back({static_cast<std::size_t>(&site - sites_.data()), 0, {}, {}});
  }
  for (const auto& truth : truths) {
    auto& place = truth.device.empty() ? site_named(truth.site).sights : devices_[numbers.at(truth.device)].sights;
    place.push_back(sights_.size());
    sights_.push_back({truth, {}, {}, {}, 0, {}});
  }
}

bool Sights::shows(const Truth& truth, const Polled& device, const Printer& printer, bool answered) const {
  switch (truth.shown) {
    case Shown::by_an_answer:
      return answered && (!truth.wavers || truth.wavers(printer));
    case Shown::by_missed_polls:
      return !answered && device.missed >= kSilentAfter;
    case Shown::by_interruptions:
      return device.interruptions.size() >= kInterruptions;
    case Shown::by_a_silent_place:
      return 3 * sites_[device.site].silent >= 2 * sites_[device.site].devices;
  }
  return false;
}

// `speaks`: the poll could show the end.
void Sights::look(Sight& sight, bool shows, bool speaks, WallTime at) {
  const auto& truth = sight.truth;
  if (at >= truth.until + truth.stays) {
    if (speaks && !sight.over_due && ++sight.polls_after_end == 2) sight.over_due = at;
  }
  // The poll after the first that showed it, whatever that one shows.
  if (sight.shown && !sight.due && at > *sight.shown) sight.due = at;
  if (!shows || at < truth.from || at >= truth.until) return;
  if (!sight.first) sight.first = at;
  if (!sight.shown && at >= *sight.first + truth.grace) sight.shown = at;
}

void Sights::poll(std::size_t number, const Printer& printer, WallTime at, bool answered) {
  auto& device = devices_[number];
  auto& site = sites_[device.site];
  if (answered) {
    if (device.missed >= kSilentAfter) --site.silent;
    device.missed = 0;
  } else {
    if (++device.missed == kSilentAfter) ++site.silent;
    if (device.missed == 1) device.interruptions.push_back(at);
  }
  while (!device.interruptions.empty() && at - device.interruptions.front() >= 1h) device.interruptions.pop_front();
  for (const auto each : device.sights) {
    auto& sight = sights_[each];
    // A cable is sound after an hour without an interruption (docs/incidents.md): also one by a lost poll.
    const bool over = sight.truth.to_the_second || device.interruptions.empty();
    look(sight, shows(sight.truth, device, printer, answered), answered && over, at);
  }
  for (const auto each : site.sights) {
    auto& sight = sights_[each];
    // A place is over when half of it answers again.
    look(sight, shows(sight.truth, device, printer, answered), 2 * site.silent <= site.devices, at);
  }
}

}  // namespace frisket::week
