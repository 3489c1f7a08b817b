// What is expected of transitions, conditions and devices.
#include <algorithm>

#include "player.h"

namespace frisket::scenarios {
namespace {

using incidents::DeviceState;
using incidents::Incident;
using incidents::Transition;
using incidents::What;

constexpr std::pair<std::string_view, DeviceState> kStates[] = {
    {"ready", DeviceState::ready},     {"busy", DeviceState::busy},     {"attention", DeviceState::attention},
    {"stopped", DeviceState::stopped}, {"silent", DeviceState::silent}, {"unknown", DeviceState::unknown},
};

// Of an incident that has a name already.
constexpr std::pair<std::string_view, What> kTransitions[] = {
    {"changed", What::changed}, {"cleared", What::cleared}, {"operator", What::operator_action},
    {"proved", What::proved},   {"unseen", What::proved},
};

}  // namespace

std::string in_words(const Transition& transition) {
  const auto& incident = transition.incident;
  auto text = std::string(to_text(transition.what)) + " " + incident.kind;
  if (incident.device != kPrinterName) text += " on " + incident.device.value_or("site");
  if (incident.subunit) text += " at " + to_text(*incident.subunit);
  return text + " severity " + std::string(to_text(incident.severity)) + " (\"" + incident.summary + "\")";
}

const Incident& Player::named(Line& line) {
  const auto name = line.word("the name of an incident (given by 'called')");
  const auto found = names_.find(name);
  if (found == names_.end()) line.refuse("no incident was called '" + name + "'");
  const auto* incident = correlator().incident(found->second);
  if (incident == nullptr) line.refuse("the incident called '" + name + "' is no longer kept");
  return *incident;
}

void Player::expect(Line& line) {
  ensure_given();
  const auto what = line.word("what is expected");
  if (what == "nothing")
    return check(told_.empty(), line, told_.empty() ? "" : "not nothing: " + in_words(told_.front()));
  if (what == "raised") return expect_raised(line);
  for (const auto& [word, meant] : kTransitions)
    if (what == word) return expect_transition(line, meant, word);
  if (what == "condition") return expect_condition(line, true);
  if (what == "no") return expect_no(line);
  if (what == "state") {
    const auto wanted = line.one_of("state of a device", kStates);
    const auto state = correlator().device(std::string(kPrinterName))->state;
    return check(state == wanted, line, "the state is " + std::string(to_text(state)));
  }
  if (what == "open") {
    const auto wanted = line.integer("how many incidents are raised");
    const auto raised = std::ranges::count_if(
        correlator().incidents(), [](const Incident* incident) { return incident->state == Incident::State::raised; });
    return check(raised == wanted, line, std::to_string(raised) + " incidents are raised");
  }
  if (what == "incident") {
    const auto& incident = named(line);
    return expect_incident(line, incident);
  }
  line.refuse("'" + what +
              "' cannot be expected: nothing, raised, changed, cleared, operator, proved, unseen, incident, "
              "condition, no, state, open");
}

void Player::expect_raised(Line& line) {
  const auto kind = line.word("the kind");
  auto wanted = "raised " + kind;
  std::optional<model::Subunit> subunit;
  if (line.take("at")) {
    const auto said = line.word("a subunit");
    subunit = model::subunit_from(said);
    if (!subunit) line.refuse("'" + said + "' is no subunit like input:2, supply or device");
    wanted += " at " + said;
  }
  std::optional<std::string> device;
  if (line.take("on")) {
    device = line.word("a device, or 'site'");
    wanted += " on " + *device;
    if (*device == "site") device = "";
  }
  const auto found = std::ranges::find_if(told_, [&](const Transition& transition) {
    const auto& incident = transition.incident;
    return transition.what == What::raised && incident.kind == kind &&
           (!subunit || incident.subunit.value_or(model::Subunit{}) == *subunit) &&
           (!device || incident.device.value_or("") == *device);
  });
  expect_found(line, found, wanted);
}

void Player::expect_transition(Line& line, What what, std::string_view word) {
  const auto& incident = named(line);
  const auto wanted = std::string(word) + " " + incident.kind;
  const auto found = std::ranges::find_if(told_, [&](const Transition& transition) {
    if (transition.what != what || transition.incident.id != incident.id) return false;
    return what != What::proved || to_text(transition.incident.proof) == (word == "proved" ? "held" : word);
  });
  expect_found(line, found, wanted);
}

void Player::expect_found(Line& line, std::vector<Transition>::iterator found, const std::string& wanted) {
  std::string instead = "; nothing was told";
  if (!told_.empty()) instead = "; told was: " + in_words(told_.front());
  check(found != told_.end(), line, "missing: " + wanted + instead);
  if (found == told_.end()) {
    // The rest of the line is still read, so that its words are checked.
    const Incident nobody;
    Outcome kept = outcome_;
    expect_incident(line, nobody);
    outcome_ = std::move(kept);
    return;
  }
  const auto incident = std::move(found->incident);
  told_.erase(found);
  expect_incident(line, incident);
}

void Player::expect_no(Line& line) {
  if (!line.take("conditions")) {
    if (!line.take("condition")) line.refuse("'no conditions' or 'no condition KEYWORD'");
    return expect_condition(line, false);
  }
  const auto& conditions = correlator().device(std::string(kPrinterName))->conditions;
  check(conditions.empty(), line, "a condition: " + (conditions.empty() ? "" : conditions.front().keyword));
}

void Player::check(bool holds, const Line& line, const std::string& what) {
  ++outcome_.expectations;
  if (!holds) outcome_.failures.push_back({line.number(), "at " + clock_text(now_) + ": " + what});
}

void Player::expect_condition(Line& line, bool wanted) {
  const auto keyword = line.word("a keyword");
  std::optional<std::string> subunit;
  if (line.take("at")) subunit = line.word("a subunit");
  const auto& conditions = correlator().device(std::string(kPrinterName))->conditions;
  const auto found = std::ranges::any_of(conditions, [&](const incidents::Condition& condition) {
    return condition.keyword == keyword && (!subunit || to_text(condition.subunit) == *subunit);
  });
  check(found == wanted, line, wanted ? "no condition " + keyword : "there is a condition " + keyword);
}

}  // namespace frisket::scenarios
