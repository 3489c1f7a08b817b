// A remedy's text put in its place, and the parts that it needs.
#include "daemon/incidents/remedies.h"

#include "daemon/incidents/findings.h"
#include "daemon/incidents/kinds.h"
#include "daemon/incidents/remedy_texts.h"
#include "probes/model/designation.h"
#include "probes/model/identity.h"

namespace frisket::incidents {
namespace {

using model::DeviceSnapshot;

// "in {place}" reads well only where there is one; otherwise the words for anything there.
std::string put_place(std::string_view sentence, const std::string& place) {
  std::string text(sentence);
  constexpr std::string_view kSlot = "{place}";
  for (auto slot = text.find(kSlot); slot != std::string::npos; slot = text.find(kSlot, slot + place.size()))
    text.replace(slot, kSlot.size(), place);
  return text;
}

std::string words_for_place(const Condition& lead) {
  const bool named = lead.subunit.index > 0 || lead.keyword == "site-silent" || is_about_queue(lead.keyword);
  if (named && !lead.place.empty()) return lead.place;
  switch (lead.subunit.kind) {
    case Subunit::Kind::cover:
      return "the cover";
    case Subunit::Kind::input:
      return "the tray";
    case Subunit::Kind::output:
      return "the output tray";
    case Subunit::Kind::supply:
      return "the supply";
    case Subunit::Kind::finisher:
      return "the finishing unit";
    default:
      return "the part";
  }
}

bool is_about_a_supply(const Condition& condition) {
  return condition.subunit.kind == Subunit::Kind::supply && condition.subunit.index > 0;
}

std::vector<CarriedPart> parts_for(const Problem& problem, const DeviceSnapshot* snapshot) {
  if (snapshot == nullptr || !is_about_a_supply(problem.lead())) return {};
  const auto* supply = find_supply(*snapshot, problem.lead().subunit.index);
  if (supply == nullptr) return {};
  CarriedPart part;
  part.part = model::part_number_in(supply->description);
  if (part.part.empty()) part.part = problem.lead().place;
  part.maker = model::identity_of(*snapshot).maker;
  part.colorant = supply->colorant;
  return {part};
}

}  // namespace

Remedy remedy_for(const Problem& problem, const DeviceSnapshot* snapshot) {
  const auto& lead = problem.lead();
  const auto text = remedy_text(lead, snapshot);
  const auto place = words_for_place(lead);
  Remedy remedy;
  for (const auto caution : text.cautions) remedy.cautions.push_back(put_place(caution, place));
  for (const auto step : text.steps) remedy.steps.push_back(put_place(step, place));
  remedy.carry = parts_for(problem, snapshot);
  return remedy;
}

}  // namespace frisket::incidents
