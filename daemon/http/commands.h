// What a client may ask the daemon to do, as opposed to read.
//
// The service implements it. On the io_context's thread.
#pragma once

#include <functional>
#include <string>

#include "daemon/http/queue_acts.h"
#include "daemon/http/test_prints.h"
#include "daemon/http/upkeep.h"
#include "daemon/incidents/incident.h"
#include "probes/model/result.h"

namespace frisket::http {

class Commands {
 public:
  virtual ~Commands() = default;

  // Takes what a person says of an incident (RFC 8632 section 3.5.2). `done` is called once: with the incident
  // as it is then, once that is kept, or with why it cannot be. Maybe before act() returns.
  using Acted = std::function<void(const model::Result<incidents::Incident>&)>;
  virtual void act(const std::string& incident, incidents::OperatorAction action, Acted done) = 0;

  // Tells a test to a hook. `done` is called once, when the receiver has answered or the hook's time limit is over:
  // with what it said, or with why it is not told (kind invalid: no such hook is configured). Maybe before
  // test_hook() returns; never if the daemon stops meanwhile.
  using Tested = std::function<void(const model::Result<std::string>&)>;
  virtual void test_hook(const std::string& hook, Tested done) = 0;

  // Does something to a queue, or says what it would do. `done` is called once, in bounded time: with what was done, or
  // with why not: kind invalid: it cannot be asked of this queue (no such job, the spooler has no such operation, no
  // program is configured); refused: the spooler wants other rights; silent: it does not answer. Never if the daemon
  // stops meanwhile.
  using QueueActed = std::function<void(const model::Result<QueueActOutcome>&)>;
  virtual void act_on_queue(QueueAct act, QueueActed done) = 0;

  // Prints a test page on a device and follows it, or says which way it would go. `done` is called once, in bounded
  // time: with the verdict, or with why nothing was tried: kind invalid: no way to the device is configured, the
  // printer takes nothing that can be made, the incident is not the device's, or a page is being followed already; else
  // as for a queue, in a dry run. Never if the daemon stops meanwhile.
  using TestPrinted = std::function<void(const model::Result<TestPrintOutcome>&)>;
  virtual void test_print(TestPrint asked, TestPrinted done) = 0;

  // Null: nobody keeps it here.
  virtual Upkeep* upkeep() { return nullptr; }
};

}  // namespace frisket::http
