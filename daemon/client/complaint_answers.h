// What the daemon answers about complaints (docs/api.md), decoded into values.
//
// As answers.h. Pure; any thread.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "daemon/client/upkeep_answers.h"

namespace frisket::client {

struct Symptom {
  std::string symptom;
  std::string title;
};

// What is known: observation -> so, or not so.
using Observed = std::vector<std::pair<std::string, bool>>;

struct Complaint {
  std::string id;
  std::string device;
  std::string symptom;
  std::optional<WallTime> at;
  std::string by;
  std::string note;
  Observed known;
  std::string cause;  // empty: nobody said yet
  std::optional<WallTime> closed_at;
};

struct Evidence {
  std::string observation;
  std::string question;
  bool so = false;
  double weight = 0;  // natural log-odds; above 0 speaks for the cause
};

struct LikelyCause {
  std::string cause;
  std::string title;
  double probability = 0;
  std::optional<double> prior;
  std::vector<Evidence> evidence;
  Remedy remedy;
};

struct Check {
  std::string observation;
  std::string question;
  std::optional<double> minutes;
  std::optional<double> bits;
};

struct Diagnosis {
  std::string id;  // of the complaint
  std::string device;
  std::string symptom;
  std::string title;
  std::optional<WallTime> at;
  Observed known;
  std::vector<LikelyCause> causes;  // the likeliest first
  std::vector<Check> checks;        // the most telling first
};

// Of list objects, {"items": [...]}.
Result<std::vector<Symptom>> symptoms_from(const Json& list);
Result<std::vector<Complaint>> complaints_from(const Json& list);

Result<Complaint> complaint_from(const Json& complaint);
Result<Diagnosis> diagnosis_from(const Json& diagnosis);

}  // namespace frisket::client
