// The command line, read.
//
// Pure but for the environment variables FRISKET_SERVER and FRISKET_TOKEN_FILE. One thread.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "daemon/client/exit_status.h"
#include "probes/model/severity.h"

namespace frisket::client {

enum class Verb {
  status,
  devices,
  device,
  supplies,
  queues,
  queue,
  incidents,
  incident,
  ack,
  shelve,
  close,
  take_back,
  testprint,
  order,
  stock,
  round,
  upkeep,
  complain,
  meter,
  reliability,
  history,
  hook_test,
  watch
};

// Every verb in the order of the help, with what it does.
struct VerbWords {
  Verb verb;
  const char* name;
  const char* does;
};
const std::vector<VerbWords>& verbs();

// What was asked for. Empty texts: not given.
struct Request {
  Verb verb = Verb::status;
  bool json = false;
  std::string server;
  std::string token_file;
  std::string subject;  // the name of the device, queue or hook, the incident's id
  std::optional<model::Severity> fail_on;
  std::optional<model::Severity> severity;
  std::string site;
  std::string state;
  std::string kind;
  std::string device;
  std::string queue;
  std::string spooler;
  std::string by;  // who says it; "": whoever runs the program
  std::string note;
  std::string until;     // RFC 3339
  std::string duration;  // "8h"
  bool low = false;
  bool all = false;
  bool load = false;

  // Of the verb queue.
  std::string act;       // "jobs", "pause", "resume", "cancel", "move", "restart"; "": show it
  std::int32_t job = 0;  // to be cancelled; 0: not given
  bool head = false;
  bool waiting = false;
  std::string to;  // the other queue; of history: the end
  bool dry_run = false;
  bool yes = false;

  // Of the verb testprint, with dry_run.
  std::string incident;

  // Of the verbs about upkeep. The act is one of stock and upkeep, or "outcome".
  bool csv = false;
  bool sheet = false;
  std::optional<std::int64_t> count;
  std::optional<std::int64_t> on_order;
  std::string task;
  std::string at;  // here and in from and to: a date, or RFC 3339
  std::string month;
  std::int32_t days = 0;     // 0: not given
  std::int32_t minutes = 0;  // likewise
  std::string symptom;
  std::string cause;
  std::vector<std::string> known;  // "OBSERVATION=yes"
  std::string from;
  std::string resolution;
};

// A request, or what to print instead and how to end: the help and the version on
// standard output, a usage error on standard error.
struct Arguments {
  std::optional<Request> request;
  ExitStatus status = ExitStatus::done;
  std::string out;
  std::string err;
};

Arguments read_arguments(int argc, const char* const* argv);

}  // namespace frisket::client
