// One way to tell a receiver: a program, a webhook, mail, syslog.
//
// On the io_context's thread; nothing may block it.
#pragma once

#include <chrono>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "config/hook.h"
#include "daemon/incidents/notice.h"

namespace frisket::hooks {

// What one attempt tells.
struct Message {
  std::shared_ptr<const config::Hook> hook;
  std::vector<incidents::Notice> notices;  // one, or those of a digest, in order of number
  model::WallTime now;                     // of the attempt
};

// What came of it.
struct Reply {
  enum class Verdict {
    delivered,    // the receiver took it
    try_again,    // it did not, and may later
    refused,      // it said that it never will
    unreachable,  // nobody was there to take it
  };

  Verdict verdict = Verdict::delivered;
  std::string text;                                   // for the log, one line
  std::optional<std::chrono::seconds> retry_after{};  // the receiver's wish
  bool timed_out = false;                             // ended by us
  bool local = false;                                 // this machine could not even try
};

class Transport {
 public:
  using Done = std::function<void(const Reply&)>;

  virtual ~Transport() = default;

  // Begins one attempt, which ends within the hook's time limit or soon after. `done` is called once,
  // later, from the io_context, unless stop() came first.
  virtual void send(const Message& message, Done done) = 0;

  // Ends what is under way, and returns when it is gone. Nothing is sent afterwards.
  virtual void stop() = 0;
};

}  // namespace frisket::hooks
