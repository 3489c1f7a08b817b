// The daemon's own path of a reading, without its schedule: probe, conditions, incidents, board.
#pragma once

#include <memory>

#include "measure.h"
#include "probes/model/device.h"

namespace frisket::bench {

class Pipeline {
 public:
  explicit Pipeline(const Fleet& fleet);
  ~Pipeline();

  // Polls every device once, in full.
  Figures first_polls();

  // Polls them round and round for so long, kWindow at once.
  Figures polls(double seconds);

  // What the last poll of the first device gave.
  std::shared_ptr<const model::DeviceSnapshot> snapshot() const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace frisket::bench
