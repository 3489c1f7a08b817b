// What happens in a step, and how it reaches the correlator.
#include <algorithm>
#include <memory>

#include "player.h"

namespace frisket::scenarios {
namespace {

using incidents::OperatorState;
using model::Reach;
using model::WallTime;

constexpr std::pair<std::string_view, OperatorState> kActs[] = {
    {"ack", OperatorState::ack},
    {"shelve", OperatorState::shelved},
    {"close", OperatorState::closed},
    {"take-back", OperatorState::none},
};

}  // namespace

incidents::Correlator& Player::correlator() {
  if (!correlator_) correlator_.emplace(settings_.config);
  return *correlator_;
}

void Player::happen(Line& line) {
  if (take_operator_act(line)) return;
  if (line.take("restart")) return restart();
  if (line.take("neighbours")) return change_neighbours(line);
  if (line.take("in-service")) return change_service("");
  if (line.take("out-of-service")) return change_service(line.word("why"));
  if (line.take("no-poll"))
    poll_ = false;
  else
    printer_.change(line);
}

bool Player::take_operator_act(Line& line) {
  for (const auto& [word, state] : kActs) {
    if (!line.take(word)) continue;
    act(line, state);
    return true;
  }
  return false;
}

// "shelve black until 02:00:00 by ilse note "ordered""
void Player::act(Line& line, OperatorState state) {
  const auto id = named(line).id;
  incidents::OperatorAction action;
  action.at = instant();
  action.state = state;
  if (line.take("until")) action.until = settings_.begins + line.time("until when");
  if (line.take("by")) action.by = line.word("who");
  if (line.take("note")) action.note = line.word("the note");
  auto answer = correlator().act(id, std::move(action));
  if (!answer) return check(false, line, "refused: " + answer.error().what);
  note(std::move(answer).value());
}

// "neighbours silent fern-house rockery", "neighbours answer": all of them
void Player::change_neighbours(Line& line) {
  const bool silent = line.take("silent");
  if (!silent && !line.take("answer")) line.refuse("neighbours are 'silent' or 'answer'");
  auto who = settings_.neighbours;
  if (who.empty()) line.refuse("this printer has no neighbours: they stand in the settings");
  if (!line.done()) who.clear();
  while (!line.done()) {
    who.push_back(line.word("a neighbour"));
    if (std::ranges::find(settings_.neighbours, who.back()) == settings_.neighbours.end())
      line.refuse("'" + who.back() + "' is no neighbour");
  }
  for (const auto& name : who) {
    if (silent)
      silent_neighbours_.insert(name);
    else
      silent_neighbours_.erase(name);
  }
}

void Player::change_service(std::string why) {
  settings_.printer().out_of_service = std::move(why);
  note(correlator().reconfigure(settings_.config, instant()));
}

// The daemon stops and starts again with what the store kept.
void Player::restart() {
  auto kept = correlator().memory();
  correlator_.emplace(settings_.config);
  note(correlator_->restore(std::move(kept), instant()));
}

void Player::poll(const std::string& device, Reach reach, WallTime at) {
  model::DeviceReading reading;
  reading.device = device;
  reading.at = at;
  reading.reach = reach;
  if (reach != Reach::answered)
    reading.detail = "no usable answer in 3 attempts";
  else if (device == kPrinterName)
    reading.snapshot = std::make_shared<const model::DeviceSnapshot>(printer_.snapshot);
  else
    reading.snapshot = std::make_shared<const model::DeviceSnapshot>(idle_printer().snapshot);
  note(correlator().apply(reading));
}

// Everybody is polled, then the service's clock ticks.
void Player::give_readings(WallTime at) {
  ++outcome_.steps;
  if (poll_) {
    poll(std::string(kPrinterName), printer_.reach, at);
    for (const auto& name : settings_.neighbours)
      poll(name, silent_neighbours_.contains(name) ? Reach::silent : Reach::answered, at);
  }
  note(correlator().tick(at));
}

void Player::note(std::vector<incidents::Transition> transitions) {
  std::ranges::move(transitions, std::back_inserter(told_));
}

}  // namespace frisket::scenarios
