// Sites of many devices, for the tests of what falls silent together. Invented throughout.
#pragma once

#include <algorithm>
#include <catch2/catch.hpp>
#include <stdexcept>
#include <string>
#include <vector>

#include "fixtures.h"

namespace frisket::incidents::testing {

// "copier-000", "copier-001", ...: rising names, so that they are in the order of their numbers everywhere.
inline std::string copier(int number) {
  auto digits = std::to_string(number);
  return "copier-" + std::string(3 - std::min<std::size_t>(3, digits.size()), '0') + digits;
}

// One site with a device at each address.
inline config::Config site_of(const std::vector<std::string>& addresses) {
  auto config = one_device();
  config.devices.clear();
  for (const auto& address : addresses) {
    config::Device device;
    device.name = copier(static_cast<int>(config.devices.size()));
    device.address = address;
    device.site = "glasshouse";
    config.devices.push_back(std::move(device));
  }
  return config;
}

// Of devices of which no subnet is known.
inline config::Config site_of(int devices) {
  return site_of(std::vector<std::string>(static_cast<std::size_t>(devices), "127.0.0.1"));
}

inline std::vector<std::string> addresses(const std::string& prefix, int count) {
  std::vector<std::string> all;
  for (int i = 1; i <= count; ++i) all.push_back(prefix + std::to_string(i));
  return all;
}

inline model::DeviceReading reading_of(int number, bool silent, WallTime at) {
  auto next = silent ? missed(at) : reading(healthy(), at);
  next.device = copier(number);
  return next;
}

// Whatever was told, as "raised site-silent glasshouse", "cleared device-silent copier-003".
inline std::vector<std::string> told(const std::vector<Transition>& transitions) {
  std::vector<std::string> words;
  for (const auto& [what, at, incident] : transitions)
    words.push_back(std::string(to_text(what)) + " " + incident.kind + " " + incident.device.value_or(incident.place));
  return words;
}

// The kinds that are raised, with the device or the place, in order of these words.
inline std::vector<std::string> open_set(const Correlator& correlator) {
  std::vector<std::string> words;
  for (const auto* incident : correlator.incidents())
    if (incident->state == Incident::State::raised)
      words.push_back(incident->kind + " " + incident->device.value_or(incident->place));
  std::sort(words.begin(), words.end());
  return words;
}

using Words = std::vector<std::string>;

// The daemon restarts with what the store kept; without `with_devices` with incidents only.
inline void restart_from_store(Correlator& correlator, const config::Config& config, WallTime at, bool with_devices) {
  auto memory = correlator.memory();
  if (!with_devices) memory.devices.clear();
  Correlator fresh(config);
  CHECK(fresh.restore(std::move(memory), at).empty());
  correlator = std::move(fresh);
}

// A site that is polled in rounds, a device after the other.
class Site {
 public:
  explicit Site(config::Config config) : config_(std::move(config)), correlator(config_) { round({}); }

  // One poll of each device; those are silent. What was told, in order.
  Words round(const std::vector<int>& silent) {
    Words words;
    at += 30s;
    for (int i = 0; i < size(); ++i) {
      const bool misses = std::ranges::find(silent, i) != silent.end();
      std::ranges::move(told(correlator.apply(reading_of(i, misses, at))), std::back_inserter(words));
    }
    return words;
  }
  Words rounds(int count, const std::vector<int>& silent) {
    Words words;
    for (int i = 0; i < count; ++i) std::ranges::move(round(silent), std::back_inserter(words));
    return words;
  }
  void restart(bool with_devices = true) { restart_from_store(correlator, config_, at, with_devices); }
  Words reconfigure(config::Config config) {
    config_ = std::move(config);
    return told(correlator.reconfigure(config_, at));
  }
  int size() const { return static_cast<int>(config_.devices.size()); }

 private:
  config::Config config_;

 public:
  Correlator correlator;
  WallTime at = kMorning;
};

inline std::vector<int> from_to(int first, int last) {
  std::vector<int> numbers;
  for (int i = first; i <= last; ++i) numbers.push_back(i);
  return numbers;
}

inline Words both(Words a, const Words& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

inline const Incident& outage_in(const Correlator& correlator) {
  for (const auto* incident : correlator.incidents())
    if (incident->kind == "site-silent") return *incident;
  throw std::runtime_error("there is no site-silent");
}

}  // namespace frisket::incidents::testing
