// Asks every target once, at a stated rate, and reads what answers.
//
// The rate counts datagrams: first questions, their repetitions, and what is sent to read those
// that answered, which later questions wait for. On the io_context's thread.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <boost/asio/ip/address.hpp>
#include <cstdint>
#include <deque>
#include <exception>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "config/config.h"
#include "probes/clock/clock.h"
#include "probes/clock/task_group.h"
#include "probes/discovery/found.h"
#include "probes/discovery/targets.h"
#include "probes/snmp/exchange.h"

namespace frisket::discovery {

struct Settings {
  std::vector<config::Credential> credentials;  // not empty; each is tried at each address
  std::uint16_t port = 161;
  int rate = 100;  // datagrams per second
  model::Milliseconds timeout{1500};
  int attempts = 2;  // at an address that is silent
};

// How far it is. Every address asked ends up as answered or silent, unless the scan is stopped first.
struct Tally {
  std::uint64_t total = 0;
  std::uint64_t asked = 0;
  std::uint64_t answered = 0;  // with anything at all
  std::uint64_t printers = 0;
  std::uint64_t silent = 0;
  std::uint64_t unsent = 0;  // of the silent: those to which this machine could not send
  std::string send_error;    // of the last of them
  std::uint64_t done() const { return answered + silent; }
};

class Scan {
 public:
  using Progress = std::function<void(const Tally&)>;

  // The polling settings for `network`, which the scan's owner makes: wide enough for the rate.
  static config::Polling polling(const Settings& settings);

  // The targets, the network and the clock must outlive it. `progress` is called after each change.
  Scan(boost::asio::any_io_executor executor, snmp::Network& network, Clock& clock, const Targets& targets,
       Settings settings, Progress progress);

  // Runs to the end, or to stop(). Once only.
  boost::asio::awaitable<void> run();

  // Asks nothing more; run() ends soon after.
  void stop();
  bool stopped() const { return stopped_; }

  const Tally& tally() const { return tally_; }
  // In the order in which they were found.
  const std::vector<Found>& found() const { return found_; }

 private:
  struct Question {
    boost::asio::ip::address address;
    int attempt = 0;  // counted from 0
  };
  struct Answer {
    snmp::Endpoint peer;
    std::size_t credential = 0;
    std::string description;
  };

  bool step();
  bool has_question();
  Question take_question();
  void wait_for_turn();
  boost::asio::awaitable<void> ask(Question question);
  boost::asio::awaitable<void> read(Answer answer);
  void take(const Question& question, snmp::FirstAnswer first);
  void no_answer(const Question& question, const model::Error& why);
  void add_agent(const Question& question, Kind kind, std::string description);
  void add(Found found);
  void changed();
  std::uint64_t reading_datagrams() const;

  snmp::Network& network_;
  Clock& clock_;
  const Settings settings_;
  Progress progress_;
  Targets::Cursor cursor_;
  std::optional<boost::asio::ip::address> next_target_;
  std::deque<Question> again_;  // silent at the first attempt
  std::deque<Answer> answers_;  // to be read
  std::unique_ptr<Sleeper> sleeper_;
  TaskGroup tasks_;
  std::exception_ptr escaped_;
  bool stopped_ = false;
  std::size_t asking_ = 0;
  std::size_t reading_ = 0;
  model::SteadyTime turn_{};          // of the next question
  std::uint64_t questions_sent_ = 0;  // datagrams of first questions
  std::uint64_t paid_ = 0;            // datagrams of reading that the turn has been put off for
  Tally tally_;
  std::vector<Found> found_;
};

}  // namespace frisket::discovery
