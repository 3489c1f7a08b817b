// What is expected of one incident: the words after its name.
#include <algorithm>

#include "player.h"

namespace frisket::scenarios {
namespace {

using incidents::Incident;
using incidents::OperatorState;
using incidents::Proof;
using incidents::Witness;

constexpr std::pair<std::string_view, OperatorState> kOperatorStates[] = {
    {"none", OperatorState::none},
    {"ack", OperatorState::ack},
    {"shelved", OperatorState::shelved},
    {"closed", OperatorState::closed},
};

constexpr std::pair<std::string_view, Proof> kProofs[] = {
    {"none", Proof::none},
    {"awaited", Proof::awaited},
    {"held", Proof::held},
    {"unseen", Proof::unseen},
};

// By the words of the public JSON.
Witness::Source source_in(Line& line) {
  const auto said = line.word("a witness");
  std::string known;
  for (int i = 0; i <= static_cast<int>(Witness::Source::history); ++i) {
    const auto source = static_cast<Witness::Source>(i);
    if (to_text(source) == said) return source;
    known += (known.empty() ? "" : ", ") + std::string(to_text(source));
  }
  line.refuse("'" + said + "' is no witness: " + known);
}

}  // namespace

void Player::expect_incident(Line& line, const Incident& incident) {
  while (!line.done()) {
    const auto word = line.word("more");
    if (expect_what_it_is(word, line, incident) || expect_what_befell_it(word, line, incident)) continue;
    line.refuse("'" + word +
                "' is nothing an incident has: called, same, to, is, was, at, on, severity, training, place, summary, "
                "evidence, carry, times, outcome, proof, operator, chattering, steady, planned, unplanned");
  }
}

bool Player::expect_what_it_is(const std::string& word, Line& line, const Incident& incident) {
  if (word == "to" || word == "is") {
    const auto kind = line.word("a kind");
    check(incident.kind == kind, line, "the kind is " + incident.kind + ", not " + kind);
  } else if (word == "was") {
    const auto kind = line.word("a kind");
    const auto& earlier = incident.earlier_kinds;
    check(std::ranges::find(earlier, kind) != earlier.end(), line, "it never was " + kind);
  } else if (word == "at") {
    const auto said = line.word("a subunit");
    const auto subunit = to_text(incident.subunit.value_or(model::Subunit{}));
    check(subunit == said, line, "the subunit is " + subunit + ", not " + said);
  } else if (word == "on") {
    const auto said = line.word("a device, or 'site'");
    const auto device = incident.device.value_or("site");
    check(device == said, line, "the device is " + device + ", not " + said);
  } else if (word == "severity") {
    const auto said = line.word("a severity");
    const auto wanted = model::severity_from(said);
    if (!wanted) line.refuse("'" + said + "' is no severity: warning, minor, major, critical");
    const auto severity = std::string(to_text(incident.severity));
    check(incident.severity == *wanted, line, "the severity is " + severity + ", not " + said);
  } else if (word == "training") {
    const auto said = line.word("a training");
    const auto wanted = model::training_from(said);
    if (!wanted) line.refuse("'" + said + "' is no training: untrained, trained, field-service");
    const auto training = std::string(to_text(incident.training));
    check(incident.training == *wanted, line, "the training is " + training + ", not " + said);
  } else if (word == "place") {
    const auto said = line.word("a place");
    check(incident.place == said, line, "the place is \"" + incident.place + "\"");
  } else if (word == "summary") {
    const auto said = line.word("a sentence");
    check(incident.summary == said, line, "the summary is \"" + incident.summary + "\"");
  } else if (word == "evidence") {
    expect_evidence(line, incident);
  } else if (word == "carry") {
    const auto said = line.word("a part");
    const auto& carry = incident.remedy.carry;
    const auto found = std::ranges::find(carry, said, &incidents::CarriedPart::part) != carry.end();
    check(found, line, carry.empty() ? "nothing is to be carried" : "to be carried is " + carry.front().part);
  } else {
    return false;
  }
  return true;
}

bool Player::expect_what_befell_it(const std::string& word, Line& line, const Incident& incident) {
  if (word == "called") {
    names_[line.word("a name")] = incident.id;
  } else if (word == "same") {
    const auto& other = named(line);
    check(incident.id == other.id, line, "it is another incident: a new " + incident.kind);
  } else if (word == "times") {
    const auto wanted = line.integer("how many times it was raised");
    check(incident.times_raised == wanted, line, "it was raised " + std::to_string(incident.times_raised) + " times");
  } else if (word == "outcome") {
    const auto said = line.word("how it ended");
    check(incident.outcome == said, line, "the outcome is \"" + incident.outcome + "\"");
  } else if (word == "proof") {
    const auto wanted = line.one_of("state of a proof", kProofs);
    check(incident.proof == wanted, line, "the proof is " + std::string(to_text(incident.proof)));
  } else if (word == "operator") {
    const auto wanted = line.one_of("operator state", kOperatorStates);
    const auto state = std::string(to_text(incident.operator_state));
    check(incident.operator_state == wanted, line, "the operator state is " + state);
  } else if (word == "chattering" || word == "steady") {
    const bool wanted = word == "chattering";
    check(incident.chattering == wanted, line, wanted ? "it is not chattering" : "it is chattering");
  } else if (word == "planned" || word == "unplanned") {
    const bool wanted = word == "planned";
    check(incident.planned == wanted, line, wanted ? "it is not planned work" : "it is planned work");
  } else {
    return false;
  }
  return true;
}

// "evidence cover-open by 2 witnesses against subunit-status"
void Player::expect_evidence(Line& line, const Incident& incident) {
  const auto keyword = line.word("a keyword");
  const auto found = std::ranges::find(incident.evidence, keyword, &incidents::Condition::keyword);
  check(found != incident.evidence.end(), line, keyword + " is not in the evidence");
  const auto heard = found == incident.evidence.end() ? std::vector<Witness>{} : found->witnesses;
  if (line.take("by")) {
    const auto wanted = line.integer("a number of witnesses");
    if (!line.take("witnesses")) line.refuse("'witnesses' should follow");
    const auto agrees = [](const Witness& witness) { return !witness.contradicts; };
    const auto witnesses = std::ranges::count_if(heard, agrees);
    check(witnesses == wanted, line, std::to_string(witnesses) + " witnesses for " + keyword);
  }
  for (const bool against : {false, true}) {
    while (line.take(against ? "against" : "said-by")) {
      const auto source = source_in(line);
      const bool is_there = std::ranges::any_of(
          heard, [&](const Witness& witness) { return witness.source == source && witness.contradicts == against; });
      const auto name = std::string(to_text(source));
      check(is_there, line, name + " does not speak " + (against ? "against " : "for ") + keyword);
    }
  }
}

}  // namespace frisket::scenarios
