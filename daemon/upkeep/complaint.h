// From what a user says is wrong to what it probably is, and what to look at next.
//
// Each symptom has possible causes with prior weights; each thing that is known or can be looked at
// (an observation) speaks for or against causes by how often it is seen with each. Observations are
// taken as independent given the cause, so each one adds to the log-odds. The next check is the one
// from which most is to be learnt, in bits of expected information per minute. The table is common
// practice, no source (complaint_table.cpp, docs/upkeep.md); recorded outcomes re-estimate
// it, drawn towards the table. Pure; any thread.
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace frisket::upkeep {

struct Cause {
  std::string key;                    // "drum-worn"
  std::string title;                  // "The drum is worn"
  std::vector<std::string> cautions;  // before the steps
  std::vector<std::string> steps;
};

struct Observation {
  std::string key;       // "supply-low"
  std::string question;  // for a person to answer: "Does the mark repeat at equal distances down the page?"
  int minutes = 0;       // to find out; 0: the daemon knows or does not, nobody is sent
  double usual = 0.1;    // how often it is so with causes that have nothing to do with it
  std::map<std::string, double> with;  // how often it is so with these causes
};

struct Symptom {
  std::string key;                       // "faded"
  std::string title;                     // "Print is faded"
  std::map<std::string, double> priors;  // cause -> weight; sum 1
};

struct ComplaintTable {
  std::vector<Symptom> symptoms;
  std::vector<Cause> causes;
  std::vector<Observation> observations;

  const Symptom* symptom(std::string_view key) const;
  const Cause* cause(std::string_view key) const;
  const Observation* observation(std::string_view key) const;
};

// The table Frisket comes with.
const ComplaintTable& default_complaints();

// What is known: key of an observation -> so, or not so. What is missing is not known.
using Known = std::map<std::string, bool>;

struct Weight {
  std::string observation;
  bool so = false;
  double log_odds = 0;  // natural; above 0 speaks for the cause
};

struct Ranked {
  std::string cause;
  double probability = 0;
  double prior = 0;
  std::vector<Weight> evidence;  // the strongest first, those that say nothing left out
};

struct NextCheck {
  std::string observation;
  double bits = 0;  // expected information about the cause
  int minutes = 0;
};

struct Diagnosis {
  std::vector<Ranked> causes;     // the likeliest first; sum 1
  std::vector<NextCheck> checks;  // the most telling per minute first; only what is not known yet
};

// Nothing for a symptom that the table does not have. Observations it does not have are ignored.
std::optional<Diagnosis> diagnose(const ComplaintTable& table, std::string_view symptom, const Known& known);

// How one complaint ended: what it was, and what had been observed.
struct Outcome {
  std::string symptom;
  std::string cause;
  Known known;
};

// The table with its weights moved towards what the outcomes say: (k * table + count) / (k + n),
// with k = 20 complaints of a symptom and k = 10 of a cause for each observation. Outcomes
// with a symptom or cause that the table does not have are ignored.
ComplaintTable reestimated(const ComplaintTable& table, std::span<const Outcome> outcomes);

}  // namespace frisket::upkeep
