// One question to one engine in SNMPv3: what to send next, given what came.
//
// Discovery, a clock that went on without us, an engine that was reset or replaced: each is set right
// within the question, and each at most once, so that an engine that never agrees costs a
// handful of messages. Pure: the network sends and waits.
#pragma once

#include <optional>
#include <string>

#include "probes/model/result.h"
#include "probes/snmp/usm.h"

namespace frisket::snmp {

class UsmDialogue {
 public:
  enum class Send {
    discovery,
    request,
  };

  // The most messages of one question, not counting those sent again unchanged.
  static constexpr int kMostMessages = 6;

  UsmDialogue(const UsmPeer& peer, std::string user) : user_(std::move(user)), discovering_(peer.engine() == nullptr) {}

  // What is to be sent now.
  Send send() const { return discovering_ ? Send::discovery : Send::request; }

  // What to do about a report.
  enum class Do {
    meet,        // take the engine that the report names, then send()
    send_again,  // the peer's time has been put right already: send()
    forget,      // forget the engine, then send()
    end,         // error() says why
  };
  // `same_engine`: the report names the engine that we know. `authentic`: it had a right digest.
  Do on_report(UsmReport report, bool same_engine, bool authentic);

  // No answer came, in any attempt. The engine is to be forgotten: when next asked it may be another.
  void on_silence(model::Error silent);

  const model::Error& error() const { return error_; }

 private:
  Do end(model::Error::Kind kind, std::string what);

  std::string user_;
  bool discovering_;
  bool discovered_ = false;  // in this question
  bool renamed_ = false;     // another engine id than known has been followed
  bool resynchronised_ = false;
  int messages_ = 1;
  model::Error error_;
};

}  // namespace frisket::snmp
