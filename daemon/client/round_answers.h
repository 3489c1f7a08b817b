// What the daemon answers about the round (docs/api.md), decoded into values.
//
// As answers.h. Pure; any thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "daemon/client/upkeep_answers.h"

namespace frisket::client {

struct RoundJob {
  std::string key;
  std::string what;
  std::string why;
  std::string incident;  // its id; empty: none
  std::string severity;
  std::string task;  // "DEVICE:TASK" of the service plan; empty: none
  std::optional<std::int64_t> supply;
  std::optional<double> minutes;
  std::optional<double> value;
  Remedy remedy;
  std::vector<CarriedPart> carry;
};

struct RoundStop {
  std::string device;
  std::string building;
  std::optional<std::int64_t> floor;  // 0: ground floor
  std::string place;
  std::string location;
  std::optional<double> minutes;
  std::vector<RoundJob> jobs;
};

struct CarriedInAll {
  CarriedPart part;
  std::optional<std::int64_t> on_hand;
};

struct LeftOut {
  std::string device;
  std::string what;
  std::string why;
};

struct Round {
  std::string site;  // empty: all
  std::optional<std::int64_t> days;
  std::optional<double> minutes;  // walking included
  std::optional<double> walking_minutes;
  std::optional<double> budget;
  std::optional<WallTime> made_at;
  std::vector<RoundStop> stops;  // in walking order
  std::vector<CarriedInAll> carry;
  std::vector<LeftOut> left_out;
};

Result<Round> round_from(const Json& round);

}  // namespace frisket::client
