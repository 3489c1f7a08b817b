// One run of one program, from its start until nothing of it is left.
//
// Ends the program's process group when the time limit is over: SIGTERM, and SIGKILL 2 s later.
// When the program has ended by itself, what it left behind in its group is ended in the
// same way, so that hooks cannot pile up processes. Until then the process is not reaped: its id,
// which is the group's, cannot become somebody else's. On the io_context's thread.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <chrono>
#include <functional>
#include <memory>
#include <span>
#include <string>

#include "daemon/hooks/child.h"

namespace frisket::hooks {

struct Outcome {
  int status = 0;          // exit status; meaningless if signal is not 0
  int signal = 0;          // that ended it
  bool timed_out = false;  // the time limit was over
  std::string output;      // the first kMostOutput bytes, as they came
  bool output_cut = false;

  bool succeeded() const { return !timed_out && signal == 0 && status == 0; }
};

class ProgramRun : public std::enable_shared_from_this<ProgramRun> {
 public:
  static constexpr std::size_t kMostOutput = 8 * 1024;
  static constexpr std::chrono::seconds kGrace{2};  // from SIGTERM to SIGKILL

  using Done = std::function<void(const Outcome&)>;

  // Starts the program; `done` is called once, later, from the io_context, unless end_all() came
  // first. The run keeps itself alive until then.
  static model::Result<std::shared_ptr<ProgramRun>> start(const boost::asio::any_io_executor& executor,
                                                          const Program& program, std::chrono::seconds time_limit,
                                                          Done done);
  ~ProgramRun();

  // Ends all of them at once, and returns when they are gone: at the latest after half a second of
  // SIGTERM and one of SIGKILL. Their `done` is not called.
  static void end_all(std::span<const std::shared_ptr<ProgramRun>> runs);

 private:
  struct State;

 public:
  explicit ProgramRun(std::unique_ptr<State> state);  // for start()

 private:
  void wait_for_exit();
  void wait_for_output();
  void allow(std::chrono::seconds time_limit);
  void insist_later();
  void time_is_over();
  void exited();
  void finish();
  void signal_group(int number) const;
  bool reap();

  std::unique_ptr<State> state_;
};

}  // namespace frisket::hooks
