// A printer as it really is, and how it speaks of that.
//
// What is so (a sheet in the path, a cover that stands open) is a Sign; how much of a sign can be read depends
// on the printer's dialect: rows, bits, the subunits' status, the panel. Alert rows have the index that the
// device gives them, from 1 again after each restart.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "probes/model/device.h"

namespace frisket::week {

struct Dialect {
  bool rows = true;           // fills prtAlertTable
  bool bits = true;           // has hrPrinterDetectedErrorState
  bool status = true;         // sets the alert flags of its subunits' status
  bool panel = true;          // shows words on its display
  bool unary = false;         // says what does not stop it by warning(4) rows instead of warningBinaryChangeEvent(5)
  bool twice = false;         // says a jam in a second row, of the media path
  bool colour = false;        // four cartridges
  bool own_media = false;     // tray 2 has a paper of its own
  bool early_low = false;     // calls a cartridge low above our own threshold
  bool tray_is_door = false;  // a tray that is out sets the door bit too
};

struct Sign {
  std::vector<model::Alert> rows;  // without index
  std::vector<model::ErrorBit> bits;
  std::vector<model::Subunit> troubled;  // whose status shows it
  bool critical = false;                 // ... as a critical alert
  bool on_request = false;               // ... and that it waits for paper
  std::string panel;
  bool stops = false;
};

class Printer {
 public:
  explicit Printer(Dialect dialect);

  const Dialect& dialect() const { return dialect_; }

  // ---- What happens to it.
  void show(const std::string& name, Sign sign);
  void end(const std::string& name);
  void cover(std::int32_t index, bool open);
  void sheets(std::int32_t tray, std::int32_t sheets);
  void room(std::int32_t room);
  void toner(std::int32_t percent);
  void print(std::uint32_t pages);  // unless it is stopped, off or open
  void interface_errors(std::uint32_t more);
  void switch_off() { off_ = true; }
  void switch_on();  // warming up; its alert rows are numbered anew
  void warm_up(bool warming);
  void sleep(bool asleep);
  void cut_off(bool cut) { cut_off_ = cut; }  // its cable

  // ---- What can be seen of it.
  bool answers() const { return !off_ && !cut_off_; }
  std::int32_t toner_left() const;
  bool shows(const std::string& name) const { return signs_.contains(name); }
  // The same pointer until something changes.
  std::shared_ptr<const model::DeviceSnapshot> snapshot();

 private:
  bool stopped() const;
  void show_status(const Sign& sign, model::DeviceSnapshot& snapshot) const;
  void number_rows(Sign& sign);

  Dialect dialect_;
  model::DeviceSnapshot base_;
  std::map<std::string, Sign> signs_;
  std::int32_t next_row_ = 1;
  bool off_ = false;
  bool cut_off_ = false;
  bool asleep_ = false;
  bool warming_ = false;
  std::shared_ptr<const model::DeviceSnapshot> made_;
};

}  // namespace frisket::week
