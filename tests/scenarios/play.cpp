#include "play.h"

#include <algorithm>
#include <map>
#include <memory>
#include <optional>

#include "daemon/incidents/correlator.h"
#include "line.h"
#include "printer.h"

namespace frisket::scenarios {
namespace {

using incidents::Correlator;
using incidents::DeviceState;
using incidents::Incident;
using incidents::Transition;
using model::Milliseconds;
using model::WallTime;

constexpr WallTime kStart = std::chrono::sys_days{std::chrono::year{2026} / 3 / 2} + std::chrono::hours{8};
constexpr auto kDevice = "printer";

constexpr std::pair<std::string_view, DeviceState> kStates[] = {
    {"ready", DeviceState::ready},     {"busy", DeviceState::busy},     {"attention", DeviceState::attention},
    {"stopped", DeviceState::stopped}, {"silent", DeviceState::silent}, {"unknown", DeviceState::unknown},
};

config::Config one_printer() {
  config::Config config;
  config.sites = {{"glasshouse", "UTC"}};
  config::Device device;
  device.name = kDevice;
  device.address = "127.0.0.1";
  device.site = "glasshouse";
  config.devices = {device};
  return config;
}

std::string clock_text(Milliseconds since) {
  const auto seconds = std::chrono::duration_cast<std::chrono::seconds>(since).count();
  const auto two = [](std::int64_t n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  const auto hours = seconds / 3600;
  return (hours > 0 ? two(hours) + ":" : "") + two(seconds / 60 % 60) + ":" + two(seconds % 60);
}

std::string in_words(const Transition& transition) {
  const auto& incident = transition.incident;
  auto text = std::string(to_text(transition.what)) + " " + incident.kind;
  if (incident.subunit) text += " at " + to_text(*incident.subunit);
  return text + " severity " + std::string(to_text(incident.severity)) + " (\"" + incident.summary + "\")";
}

class Player {
 public:
  Outcome play(std::string_view text);

 private:
  enum class Section { none, story, settings, printer, steps };

  void play_line(Line& line);
  void start_section(Line& line);
  void start_step(Line& line);
  void repeat(Line& line);
  void set(Line& line);
  void expect(Line& line);
  void expect_transition(Line& line, Transition::What what);
  void expect_incident(Line& line, const Incident& incident);
  void expect_condition(Line& line, bool wanted);
  void give_reading(WallTime at);
  void ensure_given();
  void finish_step();
  void restart();
  Correlator& correlator();
  const Incident& named(Line& line);
  void check(bool holds, const Line& line, const std::string& what) {
    ++outcome_.expectations;
    if (!holds) outcome_.failures.push_back({line.number(), "at " + clock_text(now_) + ": " + what});
  }

  Outcome outcome_;
  Section section_ = Section::none;
  bool told_story_ = false;
  config::Config config_ = one_printer();
  Printer printer_ = idle_printer();
  std::optional<Correlator> correlator_;
  Milliseconds now_{-1};
  int step_line_ = 0;
  bool given_ = true;  // whether this step's reading has been given
  bool poll_ = true;
  std::optional<std::pair<Milliseconds, Milliseconds>> repeat_;  // until, every
  std::vector<Transition> told_;                                 // and not yet expected
  std::map<std::string, std::string> names_;                     // "called" to id
};

Correlator& Player::correlator() {
  if (!correlator_) correlator_.emplace(config_);
  return *correlator_;
}

Outcome Player::play(std::string_view text) {
  int number = 0;
  try {
    while (!text.empty()) {
      const auto end = std::min(text.find('\n'), text.size());
      const auto content = text.substr(0, end);
      text.remove_prefix(std::min(end + 1, text.size()));
      ++number;
      // Prose may hold any character.
      if (section_ == Section::story && (content.starts_with(' ') || content.empty())) {
        told_story_ = told_story_ || !content.empty();
        continue;
      }
      Line line(number, content);
      if (!line.blank()) play_line(line);
    }
    finish_step();
    if (!told_story_) throw Wrong(1, "a scenario starts with a story: what happens and what must come out");
    if (outcome_.steps == 0) throw Wrong(number, "nothing happens in this scenario");
  } catch (const Wrong& wrong) {
    outcome_.failures.push_back({wrong.line, wrong.what()});
  }
  return std::move(outcome_);
}

void Player::play_line(Line& line) {
  if (!line.indented()) return start_section(line);
  switch (section_) {
    case Section::settings:
      set(line);
      break;
    case Section::printer:
      printer_.describe(line);
      break;
    case Section::steps:
      if (line.take("expect")) {
        expect(line);
      } else if (given_) {
        line.refuse("what happens stands before what is expected");
      } else if (line.take("restart")) {
        restart();
      } else if (line.take("no-poll")) {
        poll_ = false;
      } else {
        printer_.change(line);
      }
      break;
    default:
      line.refuse("no section has begun: story, settings, printer, at, from");
  }
  line.must_be_done();
}

void Player::start_section(Line& line) {
  const auto word = line.word("a section");
  if (word == "at" || word == "from") {
    start_step(line);
    if (word == "from") repeat(line);
    return line.must_be_done();
  }
  if (section_ == Section::steps) line.refuse("'" + word + "' after the first step: only at and from may follow");
  if (word == "story")
    section_ = Section::story;
  else if (word == "settings")
    section_ = Section::settings;
  else if (word == "printer")
    section_ = Section::printer;
  else
    line.refuse("'" + word + "' is no section: story, settings, printer, at, from");
  line.must_be_done();
}

void Player::start_step(Line& line) {
  finish_step();
  section_ = Section::steps;
  const auto at = line.time("the time");
  if (at <= now_) line.refuse("time runs forwards: the last step was at " + clock_text(now_));
  now_ = at;
  step_line_ = line.number();
  given_ = false;
}

// "from 00:30 to 05:00 every 00:30" is an "at 00:30" whose reading is given again and again.
void Player::repeat(Line& line) {
  if (!line.take("to")) line.refuse("'to TIME every TIME' should follow");
  const auto until = line.time("the last time");
  if (!line.take("every")) line.refuse("'every TIME' should follow");
  const auto every = line.time("the time between");
  if (until < now_ || every.count() == 0) line.refuse("this repeats nothing");
  repeat_.emplace(until, every);
}

void Player::set(Line& line) {
  const auto what = line.word("a setting");
  if (what == "silent-after") {
    config_.polling.silent_after = line.integer("a number of polls");
  } else if (what == "low") {
    config_.rules.supply.low_at = line.integer("percent");
    if (!line.take("nearly-empty")) line.refuse("'nearly-empty PERCENT' should follow");
    config_.rules.supply.nearly_empty_at = line.integer("percent");
    if (!line.take("clear")) line.refuse("'clear PERCENT' should follow");
    config_.rules.supply.clear_at = line.integer("percent");
  } else {
    line.refuse("'" + what + "' is no setting: silent-after, low");
  }
}

void Player::give_reading(WallTime at) {
  model::DeviceReading reading;
  reading.device = kDevice;
  reading.at = at;
  reading.reach = printer_.reach;
  if (printer_.reach == model::Reach::answered)
    reading.snapshot = std::make_shared<const model::DeviceSnapshot>(printer_.snapshot);
  else
    reading.detail = "no usable answer in 3 attempts";
  auto transitions = poll_ ? correlator().apply(reading) : correlator().tick(at);
  ++outcome_.steps;
  std::ranges::move(transitions, std::back_inserter(told_));
}

void Player::ensure_given() {
  if (given_) return;
  given_ = true;
  give_reading(kStart + now_);
}

void Player::finish_step() {
  if (section_ != Section::steps) return;
  ensure_given();
  const auto nothing_more = [&](Milliseconds at) {
    for (const auto& transition : told_)
      outcome_.failures.push_back({step_line_, "at " + clock_text(at) + ": not expected: " + in_words(transition)});
    told_.clear();
    ++outcome_.expectations;
  };
  nothing_more(now_);
  while (repeat_ && now_ + repeat_->second <= repeat_->first) {
    now_ += repeat_->second;
    give_reading(kStart + now_);
    nothing_more(now_);
  }
  repeat_.reset();
  poll_ = true;
}

// The daemon stops and starts again with what the store kept.
void Player::restart() {
  auto kept = correlator().memory();
  correlator_.emplace(config_);
  std::ranges::move(correlator_->restore(std::move(kept), kStart + now_), std::back_inserter(told_));
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
  if (what == "raised") return expect_transition(line, Transition::What::raised);
  if (what == "changed") return expect_transition(line, Transition::What::changed);
  if (what == "cleared") return expect_transition(line, Transition::What::cleared);
  if (what == "condition") return expect_condition(line, true);
  if (what == "no") {
    if (line.take("conditions")) {
      const auto& conditions = correlator().device(kDevice)->conditions;
      return check(conditions.empty(), line, "a condition: " + (conditions.empty() ? "" : conditions.front().keyword));
    }
    if (!line.take("condition")) line.refuse("'no conditions' or 'no condition KEYWORD'");
    return expect_condition(line, false);
  }
  if (what == "state") {
    const auto wanted = line.one_of("state of a device", kStates);
    const auto state = correlator().device(kDevice)->state;
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
              "' cannot be expected: nothing, raised, changed, cleared, incident, condition, no, state, open");
}

void Player::expect_transition(Line& line, Transition::What what) {
  auto found = told_.end();
  std::string wanted = std::string(to_text(what)) + " ";
  if (what == Transition::What::raised) {
    const auto kind = line.word("the kind");
    wanted += kind;
    std::optional<model::Subunit> subunit;
    if (line.take("at")) {
      const auto said = line.word("a subunit");
      subunit = model::subunit_from(said);
      if (!subunit) line.refuse("'" + said + "' is no subunit like input:2, supply or device");
      wanted += " at " + said;
    }
    found = std::ranges::find_if(told_, [&](const Transition& transition) {
      return transition.what == what && transition.incident.kind == kind &&
             (!subunit || transition.incident.subunit.value_or(model::Subunit{}) == *subunit);
    });
  } else {
    const auto& incident = named(line);
    wanted += incident.kind;
    found = std::ranges::find_if(told_, [&](const Transition& transition) {
      return transition.what == what && transition.incident.id == incident.id;
    });
  }
  std::string instead = "; nothing was told";
  if (!told_.empty()) instead = "; told was: " + in_words(told_.front());
  check(found != told_.end(), line, "missing: " + wanted + instead);
  if (found == told_.end()) {
    // The rest of the line is still read, so that its words are checked.
    Incident nobody;
    Outcome kept = outcome_;
    expect_incident(line, nobody);
    outcome_ = std::move(kept);
    return;
  }
  const auto incident = std::move(found->incident);
  told_.erase(found);
  expect_incident(line, incident);
}

void Player::expect_incident(Line& line, const Incident& incident) {
  while (!line.done()) {
    const auto what = line.word("more");
    if (what == "called") {
      names_[line.word("a name")] = incident.id;
    } else if (what == "to" || what == "is") {
      const auto kind = line.word("a kind");
      check(incident.kind == kind, line, "the kind is " + incident.kind + ", not " + kind);
    } else if (what == "at") {
      const auto said = line.word("a subunit");
      const auto subunit = to_text(incident.subunit.value_or(model::Subunit{}));
      check(subunit == said, line, "the subunit is " + subunit + ", not " + said);
    } else if (what == "severity") {
      const auto said = line.word("a severity");
      const auto wanted = model::severity_from(said);
      if (!wanted) line.refuse("'" + said + "' is no severity: warning, minor, major, critical");
      check(incident.severity == *wanted, line,
            "the severity is " + std::string(to_text(incident.severity)) + ", not " + said);
    } else if (what == "training") {
      const auto said = line.word("a training");
      const auto wanted = model::training_from(said);
      if (!wanted) line.refuse("'" + said + "' is no training: untrained, trained, field-service");
      check(incident.training == *wanted, line,
            "the training is " + std::string(to_text(incident.training)) + ", not " + said);
    } else if (what == "place") {
      const auto said = line.word("a place");
      check(incident.place == said, line, "the place is \"" + incident.place + "\"");
    } else if (what == "summary") {
      const auto said = line.word("a sentence");
      check(incident.summary == said, line, "the summary is \"" + incident.summary + "\"");
    } else if (what == "evidence") {
      const auto said = line.word("a keyword");
      const auto found = std::ranges::find(incident.evidence, said, &incidents::Condition::keyword);
      check(found != incident.evidence.end(), line, said + " is not in the evidence");
      if (!line.take("by")) continue;
      const auto wanted = line.integer("a number of witnesses");
      const auto agrees = [](const incidents::Witness& witness) { return !witness.contradicts; };
      const auto witnesses = found == incident.evidence.end() ? 0 : std::ranges::count_if(found->witnesses, agrees);
      check(witnesses == wanted, line, std::to_string(witnesses) + " witnesses for " + said);
      if (!line.take("witnesses")) line.refuse("'witnesses' should follow");
    } else if (what == "carry") {
      const auto said = line.word("a part");
      const auto& carry = incident.remedy.carry;
      const auto found = std::ranges::find(carry, said, &incidents::CarriedPart::part) != carry.end();
      check(found, line, carry.empty() ? "nothing is to be carried" : "to be carried is " + carry.front().part);
    } else if (what == "was") {
      const auto said = line.word("a kind");
      const auto& earlier = incident.earlier_kinds;
      check(std::ranges::find(earlier, said) != earlier.end(), line, "it never was " + said);
    } else {
      line.refuse(
          "'" + what +
          "' is nothing an incident has: called, to, is, at, severity, training, place, summary, evidence, carry, "
          "was");
    }
  }
}

void Player::expect_condition(Line& line, bool wanted) {
  const auto keyword = line.word("a keyword");
  std::optional<std::string> subunit;
  if (line.take("at")) subunit = line.word("a subunit");
  const auto& conditions = correlator().device(kDevice)->conditions;
  const auto found = std::ranges::any_of(conditions, [&](const incidents::Condition& condition) {
    return condition.keyword == keyword && (!subunit || to_text(condition.subunit) == *subunit);
  });
  check(found == wanted, line, wanted ? "no condition " + keyword : "there is a condition " + keyword);
}

}  // namespace

Outcome play(std::string_view text) { return Player().play(text); }

}  // namespace frisket::scenarios
