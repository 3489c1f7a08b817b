// Writes one episode down, step by step in time.
#pragma once

#include <string>
#include <utility>

#include "truth.h"

namespace frisket::week {

using model::AlertCode;
using model::AlertGroup;
using model::AlertSeverity;
using model::AlertTraining;
using model::ErrorBit;
using model::Subunit;

class Story {
 public:
  Story(const Member& member, WallTime begins, Dice& dice);

  const Dialect& dialect() const { return dialect_; }
  Dice& dice() { return dice_; }
  WallTime now() const { return now_; }

  // Time passes.
  void wait(Seconds span) { now_ += span; }
  void wait(Seconds least, Seconds most) { now_ += dice_.between(least, most); }

  void happens(std::function<void(Printer&)> change);
  void show(const std::string& name, Sign sign);
  void end(const std::string& name);
  void open_cover(std::int32_t index);
  void close_cover(std::int32_t index);
  void pull_tray(std::int32_t index);  // it is out
  void push_tray(std::int32_t index, std::int32_t sheets);
  void acknowledge(std::set<std::string> kinds);
  // Off, on again after that time, and warm; the silence may be a problem of its own.
  void restart(Seconds off);
  // The job that waited comes through, and more after it.
  void pages_come_through();

  // What was told up to now is in the background of other stories.
  void was_background() { episode_.alone_from = now_; }

  // A problem from `from` to now.
  Truth& problem(std::string what, std::set<std::string> kinds, WallTime from);

  Episode take();

  // ---- Rows of the alert table.
  model::Alert critical(AlertGroup group, std::int32_t index, AlertCode code, std::string text) const;
  model::Alert warning(AlertGroup group, std::int32_t index, AlertCode code, std::string text) const;
  static model::Alert report(AlertGroup group, std::int32_t index, AlertCode code, std::string text);

 private:
  Dialect dialect_;
  std::string site_;
  Dice& dice_;
  WallTime now_;
  Episode episode_;
};

}  // namespace frisket::week
