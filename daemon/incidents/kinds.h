// The inventory of kinds: for each keyword how bad it is, who mends it, and what it is called.
//
// RFC 8632 section 3.2 asks that all alarm types be published beforehand; docs/incidents.md
// is this table in prose, and a test holds the two together. A condition's keyword is
// looked up here, and so is an incident's kind, which is the keyword of its leading
// condition. Pure; any thread.
#pragma once

#include <chrono>
#include <span>
#include <string>
#include <string_view>

#include "daemon/incidents/incident.h"
#include "probes/model/severity.h"

namespace frisket::incidents {

struct Kind {
  std::string_view keyword;  // "*-jam" stands for every keyword that ends so, "*" for the rest

  // Conditions of one family at one subunit are one problem: toner-low and toner-empty of one
  // cartridge are both "supply". Empty: the keyword is a family of its own.
  std::string_view family;

  model::Severity severity;  // where the device does not say, and does not contradict
  model::Training training;  // where prtAlertTrainingLevel does not say
  bool stops;                // whether it can be what stops a printer

  // Whether anybody has to act. Conditions without a problem are shown with the device and
  // raise no incident.
  bool problem;

  // How long it must have been so before an incident is raised.
  std::chrono::seconds delay;

  // "one sentence with {place}|the same sentence where no place is known"
  std::string_view summary;

  std::string_view raised_when;
  std::string_view cleared_when;
  std::string_view source;
};

// In order of rank: of two conditions of one problem, the one listed earlier leads.
std::span<const Kind> kinds();

// Exact keyword first, then the longest suffix row, then "*".
const Kind& kind_of(std::string_view keyword);

// A condition as its kind's row has it, of the device as a whole and with one witness.
Condition condition_of(std::string_view keyword, WallTime since, Witness witness);

// Position in kinds(): lower leads.
std::size_t rank_of(std::string_view keyword);

// The family of a keyword: what shares a subunit with it and is the same problem.
std::string family_of(std::string_view keyword);

// About a print queue or a print service.
bool is_about_queue(std::string_view keyword);

// The kind's sentence about that place, or about no place in particular.
std::string summary_of(std::string_view keyword, std::string_view place);

}  // namespace frisket::incidents
