// Waiting that a wish to stop ends: SIGINT (Ctrl-C) and SIGTERM.
#pragma once

#include <chrono>

#include "probes/model/result.h"

namespace frisket::client {

class Pause {
 public:
  virtual ~Pause() = default;

  // True once the time has passed, false as soon as somebody wants the program to stop, also
  // if that was before the call.
  virtual bool wait(std::chrono::milliseconds time) = 0;
};

// Takes the two signals for as long as it lives: they are blocked in this thread (make it
// before any other thread is started) and wait in a descriptor.
class SignalPause final : public Pause {
 public:
  SignalPause();
  ~SignalPause() override;
  SignalPause(const SignalPause&) = delete;
  SignalPause& operator=(const SignalPause&) = delete;

  bool wait(std::chrono::milliseconds time) override;

  // Readable once a signal came; -1 where the system refused to give one: then the signals
  // end the program as usual.
  int descriptor() const { return descriptor_; }

 private:
  int descriptor_ = -1;
};

}  // namespace frisket::client
