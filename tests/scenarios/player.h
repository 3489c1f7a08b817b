// The player of one scenario. Private to its own files:
//
//   play.cpp             the file line by line: sections, steps, repetitions
//   happenings.cpp       what happens in a step, and how it reaches the correlator
//   expectations.cpp     what is expected of transitions, conditions and devices
//   expect_incident.cpp  what is expected of one incident
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "daemon/incidents/correlator.h"
#include "line.h"
#include "play.h"
#include "printer.h"
#include "settings.h"

namespace frisket::scenarios {

class Player {
 public:
  Outcome play(std::string_view text);

 private:
  enum class Section { none, story, settings, printer, steps };

  // ---- play.cpp
  void play_line(Line& line);
  void start_section(Line& line);
  void start_step(Line& line);
  void repeat(Line& line);
  void ensure_given();
  void finish_step();
  void nothing_more(model::Milliseconds at);

  // ---- happenings.cpp
  void happen(Line& line);
  bool take_operator_act(Line& line);
  void act(Line& line, incidents::OperatorState state);
  void change_neighbours(Line& line);
  void change_service(std::string why);
  void restart();
  void give_readings(model::WallTime at);
  void poll(const std::string& device, model::Reach reach, model::WallTime at);
  void note(std::vector<incidents::Transition> transitions);
  model::WallTime instant() const { return settings_.begins + now_; }
  incidents::Correlator& correlator();

  // ---- expectations.cpp
  void expect(Line& line);
  void expect_raised(Line& line);
  void expect_transition(Line& line, incidents::Transition::What what, std::string_view word);
  void expect_found(Line& line, std::vector<incidents::Transition>::iterator found, const std::string& wanted);
  void expect_condition(Line& line, bool wanted);
  void expect_no(Line& line);
  const incidents::Incident& named(Line& line);
  void check(bool holds, const Line& line, const std::string& what);

  // ---- expect_incident.cpp
  void expect_incident(Line& line, const incidents::Incident& incident);
  bool expect_what_it_is(const std::string& word, Line& line, const incidents::Incident& incident);
  bool expect_what_befell_it(const std::string& word, Line& line, const incidents::Incident& incident);
  void expect_evidence(Line& line, const incidents::Incident& incident);

  Outcome outcome_;
  Section section_ = Section::none;
  bool told_story_ = false;
  Settings settings_;
  Printer printer_ = idle_printer();
  std::set<std::string> silent_neighbours_;
  std::optional<incidents::Correlator> correlator_;
  model::Milliseconds now_{-1};
  int step_line_ = 0;
  bool given_ = true;  // whether this step's readings have been given
  bool poll_ = true;
  std::optional<std::pair<model::Milliseconds, model::Milliseconds>> repeat_;  // until, every
  std::vector<incidents::Transition> told_;                                    // and not yet expected
  std::map<std::string, std::string> names_;                                   // "called" to id
};

// "00:30", "01:00:00"
std::string clock_text(model::Milliseconds since);

// "raised media-jam at output:1 severity critical ("Paper is jammed at Top bin.")"
std::string in_words(const incidents::Transition& transition);

}  // namespace frisket::scenarios
