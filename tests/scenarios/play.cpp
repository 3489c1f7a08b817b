#include "play.h"

#include <algorithm>

#include "player.h"

namespace frisket::scenarios {

using model::Milliseconds;

std::string clock_text(Milliseconds since) {
  const auto seconds = std::chrono::duration_cast<std::chrono::seconds>(since).count();
  const auto two = [](std::int64_t n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  const auto hours = seconds / 3600;
  return (hours > 0 ? two(hours) + ":" : "") + two(seconds / 60 % 60) + ":" + two(seconds % 60);
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
      settings_.set(line);
      break;
    case Section::printer:
      printer_.describe(line);
      break;
    case Section::steps:
      if (line.take("expect"))
        expect(line);
      else if (given_)
        line.refuse("what happens stands before what is expected");
      else
        happen(line);
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

void Player::ensure_given() {
  if (given_) return;
  given_ = true;
  give_readings(instant());
}

void Player::nothing_more(Milliseconds at) {
  for (const auto& transition : told_)
    outcome_.failures.push_back({step_line_, "at " + clock_text(at) + ": not expected: " + in_words(transition)});
  told_.clear();
  ++outcome_.expectations;
}

void Player::finish_step() {
  if (section_ != Section::steps) return;
  ensure_given();
  nothing_more(now_);
  while (repeat_ && now_ + repeat_->second <= repeat_->first) {
    now_ += repeat_->second;
    give_readings(instant());
    nothing_more(now_);
  }
  repeat_.reset();
  poll_ = true;
}

Outcome play(std::string_view text) { return Player().play(text); }

}  // namespace frisket::scenarios
