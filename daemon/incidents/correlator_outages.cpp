// All devices of a place that fall silent together.
#include <arpa/inet.h>

#include <algorithm>
#include <array>
#include <set>

#include "daemon/incidents/correlator_state.h"
#include "daemon/incidents/kinds.h"
#include "daemon/incidents/reach.h"
#include "daemon/incidents/remedies.h"

namespace frisket::incidents {
namespace {

using model::Reach;

constexpr std::size_t kFewest = 3;         // silent devices that make an outage
constexpr std::size_t kMostEvidence = 64;  // devices named in it
constexpr std::string_view kSiteSilent = "site-silent";

// Two thirds, rounded up.
std::size_t most_of(std::size_t count) { return std::max(kFewest, (2 * count + 2) / 3); }

// The IPv4 /24 or IPv6 /64 of an address that is written as one; empty for a host name, and for loopback,
// which says nothing of a network.
std::string subnet_of(const std::string& address) {
  std::array<unsigned char, 16> octets{};
  std::array<char, INET6_ADDRSTRLEN> text{};
  if (inet_pton(AF_INET, address.c_str(), octets.data()) == 1) {
    if (octets[0] == 127) return {};
    octets[3] = 0;
    return inet_ntop(AF_INET, octets.data(), text.data(), text.size()) != nullptr ? std::string(text.data()) + "/24"
                                                                                  : "";
  }
  if (inet_pton(AF_INET6, address.c_str(), octets.data()) != 1 || address == "::1") return {};
  std::fill(octets.begin() + 8, octets.end(), static_cast<unsigned char>(0));
  return inet_ntop(AF_INET6, octets.data(), text.data(), text.size()) != nullptr ? std::string(text.data()) + "/64"
                                                                                 : "";
}

// Else its silence is its own matter, or that of another outage: it was so before, or it is none.
bool counts(const DeviceRecord& record, const Outage& outage, const std::map<std::string, Incident>& incidents) {
  if (!record.device->out_of_service.empty()) return false;
  if (!record.outage.empty() && record.outage != outage.incident) return false;
  return std::ranges::none_of(record.open, [&](const std::string& id) {
    const auto& incident = incidents.at(id);
    return is_about_reach(incident) && incident.kind != "cable-suspect";
  });
}

bool misses(const DeviceRecord& record) {
  return record.memory.reach.missed > 0 && record.memory.reach.last == Reach::silent;
}

bool is_silent(const DeviceRecord& record, const config::Polling& polling) {
  return misses(record) && !record.left_behind && record.memory.reach.missed >= polling.silent_after;
}

const std::string& place_of(const Outage& outage) { return outage.subnet.empty() ? outage.site : outage.subnet; }

Condition silence_of(const DeviceRecord& record) {
  auto condition = missed_condition(record.memory.reach);
  condition.place = record.device->name;
  return condition;
}

// Of a device of which the store knew no more than the incident: it was silent, and is until it answers.
void recall_silence(WallTime since, ReachMemory& reach, const config::Polling& polling) {
  if (reach.missed > 0) return;
  reach.missed = polling.silent_after;
  reach.missed_since = since;
  reach.last = Reach::silent;
}

}  // namespace

Outage* Correlator::State::outage_of(std::string_view site, std::string_view subnet) {
  const auto found =
      std::ranges::find_if(outages, [&](const Outage& one) { return one.site == site && one.subnet == subnet; });
  return found == outages.end() ? nullptr : &*found;
}

bool Correlator::State::is_suspected(const Outage& outage) const {
  std::size_t all = 0;
  std::size_t missing = 0;
  for (const auto* member : outage.members) {
    if (!counts(*member, outage, incidents)) continue;
    ++all;
    if (misses(*member)) ++missing;
  }
  return missing >= most_of(all);
}

void Correlator::State::consider(Outage& outage) {
  if (!outage.incident.empty()) return update_outage(outage);
  std::size_t all = 0;
  std::size_t silent = 0;
  for (const auto* member : outage.members) {
    if (!counts(*member, outage, incidents)) continue;
    ++all;
    if (is_silent(*member, config.polling)) ++silent;
  }
  if (silent >= most_of(all)) {
    if (!waits_for_site(outage)) raise_outage(outage);
    return;
  }
  if (is_suspected(outage)) return;
  // A subnet that has waited for the site is silent by itself.
  std::set<Outage*> waiting;
  for (auto* member : outage.members) {
    if (!member->held_since) continue;
    for (auto* other : member->outages)
      if (outage.subnet.empty() && other != &outage && waiting.insert(other).second) consider(*other);
    if (member->held_since) reconcile_reach(*member);
  }
}

// Told at once, a site that falls silent would be an incident for each of its subnets.
bool Correlator::State::waits_for_site(const Outage& outage) {
  if (outage.subnet.empty()) return false;
  const auto* site = outage_of(outage.site, "");
  if (site == nullptr || !is_suspected(*site)) return false;
  return std::ranges::none_of(outage.members, [&](const DeviceRecord* member) {
    return member->held_since && now - *member->held_since >= longest_hold(*member->device);
  });
}

// The same place, silent a short while ago.
Incident* Correlator::State::returning(const Outage& outage) {
  for (auto id = cleared.rbegin(); id != cleared.rend(); ++id) {
    auto& incident = incidents.at(*id);
    if (now - incident.cleared_at.value_or(WallTime{}) > config.rules.returns_within) return nullptr;
    if (incident.kind == kSiteSilent && incident.site == outage.site && incident.place == place_of(outage))
      return &incident;
  }
  return nullptr;
}

void Correlator::State::raise_outage(Outage& outage) {
  auto* const earlier = returning(outage);
  const auto id = earlier != nullptr ? earlier->id : ids.next(now);
  auto& incident = earlier != nullptr ? *earlier : incidents[id];
  outage.incident = id;
  incident.evidence.clear();
  for (auto* member : outage.members) {
    if (!counts(*member, outage, incidents) || !is_silent(*member, config.polling)) continue;
    member->outage = id;
    member->held_since.reset();
    forget_interruption(member->memory.reach);
    if (incident.evidence.size() < kMostEvidence) incident.evidence.push_back(silence_of(*member));
  }
  if (earlier != nullptr) return reopen(incident, incident.severity);
  const auto& kind = kind_of(kSiteSilent);
  incident.id = id;
  incident.kind = kSiteSilent;
  incident.site = outage.site;
  incident.place = place_of(outage);
  incident.severity = kind.severity;
  incident.training = kind.training;
  incident.raised_at = incident.changed_at = now;
  incident.summary = summary_of(kSiteSilent, incident.place);
  note_planned(incident);
  Condition lead;
  lead.keyword = kSiteSilent;
  lead.place = incident.place;
  incident.remedy = remedy_for(Problem{{lead}}, nullptr);
  tell(What::raised, incident);
}

// Who else falls silent now is part of it, who answers is not any more; nobody is told of either.
void Correlator::State::update_outage(Outage& outage) {
  auto& incident = incidents.at(outage.incident);
  std::size_t all = 0;
  std::size_t silent = 0;
  incident.evidence.clear();
  for (auto* member : outage.members) {
    if (!counts(*member, outage, incidents)) continue;
    ++all;
    const bool joins = is_silent(*member, config.polling);
    if (joins && member->outage.empty()) forget_interruption(member->memory.reach);
    member->outage = joins ? outage.incident : "";
    if (!joins) continue;
    ++silent;
    if (incident.evidence.size() < kMostEvidence) incident.evidence.push_back(silence_of(*member));
  }
  if (2 * silent <= all) end_outage(outage);
}

// Those that do not answer their next poll either are incidents of their own: told of at once, the second
// half of a site that comes back would be raised and cleared one by one.
void Correlator::State::end_outage(Outage& outage) {
  auto& incident = incidents.at(std::exchange(outage.incident, {}));
  for (auto* member : outage.members) {
    if (member->outage != incident.id) continue;
    member->outage.clear();
    member->left_behind = misses(*member);
  }
  clear(incident, "");
}

void Correlator::State::find_outages() {
  std::map<std::pair<std::string, std::string>, std::string> raised;
  for (const auto& outage : outages)
    if (!outage.incident.empty()) raised[{outage.site, outage.subnet}] = outage.incident;
  outages.clear();
  std::map<std::pair<std::string, std::string>, Outage> found;
  for (auto& [name, record] : devices) {
    record.outages.clear();
    for (const auto& subnet : {std::string(), subnet_of(record.device->address)}) {
      auto& outage = found[{record.device->site, subnet}];
      outage.site = record.device->site;
      outage.subnet = subnet;
      // A device without a subnet is met here twice.
      if (outage.members.empty() || outage.members.back() != &record) outage.members.push_back(&record);
    }
  }
  for (auto& [key, outage] : found) {
    // A subnet that is the whole site needs no second look.
    const bool all_of_site =
        !outage.subnet.empty() && outage.members.size() == found.at({outage.site, ""}).members.size();
    if (const auto known = raised.find(key); known != raised.end()) {
      outage.incident = known->second;
      raised.erase(known);
    } else if (outage.members.size() < kFewest || all_of_site) {
      continue;
    }
    outages.push_back(std::move(outage));
    for (auto* member : outages.back().members) member->outages.push_back(&outages.back());
  }
  for (const auto& [key, id] : raised) clear(incidents.at(id), "its devices are no longer configured");
  // Who has moved to another site or subnet is silent by himself.
  for (auto& [name, record] : devices)
    if (std::ranges::none_of(record.outages, [&](const Outage* outage) { return outage->incident == record.outage; }))
      record.outage.clear();
}

void Correlator::State::recall_outages(const std::map<std::string, DeviceMemory>& kept) {
  for (auto& [id, incident] : incidents) {
    if (incident.kind != kSiteSilent || incident.state == Incident::State::cleared) continue;
    const auto subnet = incident.place == incident.site ? std::string() : incident.place;
    auto* outage = outage_of(incident.site, subnet);
    if (outage == nullptr) {
      clear(incident, "its devices are no longer configured");
      continue;
    }
    outage->incident = id;
    for (const auto& condition : incident.evidence)
      if (auto* record = find(condition.place)) {
        record->outage = id;
        recall_silence(condition.since, record->memory.reach, config.polling);
      }
    if (incident.evidence.size() < kMostEvidence) continue;
    // It had more than it names.
    for (auto* member : outage->members) {
      if (kept.contains(member->device->name) || !counts(*member, *outage, incidents)) continue;
      member->outage = id;
      recall_silence(incident.raised_at, member->memory.reach, config.polling);
    }
  }
}

}  // namespace frisket::incidents
