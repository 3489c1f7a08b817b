#include "daemon/hooks/program_run.h"

#include <poll.h>
#include <signal.h>
#include <sys/wait.h>

#include <algorithm>
#include <array>
#include <boost/asio/buffer.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/steady_timer.hpp>
#include <utility>
#include <vector>

namespace frisket::hooks {
namespace {

namespace asio = boost::asio;
using boost::system::error_code;

constexpr std::chrono::milliseconds kStopGrace{500};
constexpr std::chrono::milliseconds kStopInsistence{1000};

}  // namespace

struct ProgramRun::State {
  State(const asio::any_io_executor& executor, const Child& child, Done when_done)
      : pid(child.pid),
        exit(executor, child.exit),
        output(executor, child.output),
        timer(executor),
        done(std::move(when_done)) {}

  pid_t pid;
  asio::posix::stream_descriptor exit;
  asio::posix::stream_descriptor output;
  asio::steady_timer timer;
  Done done;
  Outcome outcome;
  std::array<char, 4096> buffer{};
  bool exit_seen = false;
  bool output_ended = false;
  bool finished = false;
};

ProgramRun::ProgramRun(std::unique_ptr<State> state) : state_(std::move(state)) {}

// Only reached unfinished when the io_context goes away without end_all().
ProgramRun::~ProgramRun() {
  if (state_->finished) return;
  signal_group(SIGKILL);
  reap();
}

model::Result<std::shared_ptr<ProgramRun>> ProgramRun::start(const asio::any_io_executor& executor,
                                                             const Program& program, std::chrono::seconds time_limit,
                                                             Done done) {
  const auto child = hooks::start(program);
  if (!child) return child.error();
  auto run = std::make_shared<ProgramRun>(std::make_unique<State>(executor, *child, std::move(done)));
  run->wait_for_exit();
  run->wait_for_output();
  run->allow(time_limit);
  return run;
}

void ProgramRun::signal_group(int number) const { ::kill(-state_->pid, number); }

void ProgramRun::wait_for_exit() {
  state_->exit.async_wait(asio::posix::stream_descriptor::wait_read, [self = shared_from_this()](error_code error) {
    if (!error && !self->state_->finished) self->exited();
  });
}

void ProgramRun::wait_for_output() {
  state_->output.async_read_some(asio::buffer(state_->buffer),
                                 [self = shared_from_this()](error_code error, std::size_t size) {
                                   auto& state = *self->state_;
                                   if (state.finished) return;
                                   if (error) {  // end of file: nobody has the other end open any more
                                     state.output_ended = true;
                                     if (state.exit_seen) self->finish();
                                     return;
                                   }
                                   const auto kept = std::min(size, kMostOutput - state.outcome.output.size());
                                   state.outcome.output.append(state.buffer.data(), kept);
                                   state.outcome.output_cut |= kept < size;
                                   self->wait_for_output();  // read on, or the program would wait for us
                                 });
}

void ProgramRun::allow(std::chrono::seconds time_limit) {
  state_->timer.expires_after(time_limit);
  state_->timer.async_wait([self = shared_from_this()](error_code error) {
    if (!error && !self->state_->finished && !self->state_->exit_seen) self->time_is_over();
  });
}

void ProgramRun::time_is_over() {
  state_->outcome.timed_out = true;
  signal_group(SIGTERM);
  insist_later();
}

// Whatever then happens first, the exit or the end of the grace, is followed by the other.
void ProgramRun::insist_later() {
  state_->timer.expires_after(kGrace);
  state_->timer.async_wait([self = shared_from_this()](error_code error) {
    auto& state = *self->state_;
    if (error || state.finished) return;
    self->signal_group(SIGKILL);
    if (state.exit_seen) self->finish();
  });
}

void ProgramRun::exited() {
  auto& state = *state_;
  siginfo_t info{};
  // WNOWAIT: it stays a zombie, which keeps its id ours.
  const int known = ::waitid(P_PID, static_cast<id_t>(state.pid), &info, WEXITED | WNOHANG | WNOWAIT);
  if (known == 0 && info.si_pid == 0) {  // woken for nothing
    wait_for_exit();
    return;
  }
  state.exit_seen = true;
  if (known != 0)
    state.outcome.status = -1;  // somebody else reaped it: not told how it ended
  else if (info.si_code == CLD_EXITED)
    state.outcome.status = info.si_status;
  else
    state.outcome.signal = info.si_status;
  if (state.output_ended) {
    finish();
    return;
  }
  signal_group(SIGTERM);  // for what it left behind; the output ends when that has gone
  if (!state.outcome.timed_out) insist_later();
}

bool ProgramRun::reap() { return ::waitpid(state_->pid, nullptr, WNOHANG) == state_->pid; }

void ProgramRun::finish() {
  auto& state = *state_;
  signal_group(SIGKILL);
  reap();
  state.finished = true;
  state.timer.cancel();
  error_code ignored;
  state.exit.close(ignored);
  state.output.close(ignored);
  if (const auto done = std::exchange(state.done, nullptr)) done(state.outcome);
}

void ProgramRun::end_all(std::span<const std::shared_ptr<ProgramRun>> runs) {
  std::vector<pollfd> waiting;
  const auto wait = [&waiting, runs](std::chrono::milliseconds budget) {
    // poll() returns at the first exit: the budget is shared out in steps, so that it stays one.
    constexpr std::chrono::milliseconds kStep{10};
    for (auto left = budget; left.count() > 0; left -= kStep) {
      waiting.clear();
      for (const auto& run : runs)
        if (!run->state_->finished) waiting.push_back({run->state_->exit.native_handle(), POLLIN, 0});
      std::erase_if(waiting, [](pollfd& one) { return ::poll(&one, 1, 0) > 0; });
      if (waiting.empty()) return;
      ::poll(waiting.data(), waiting.size(), static_cast<int>(kStep.count()));
    }
  };
  for (const auto& run : runs)
    if (!run->state_->finished) run->signal_group(SIGTERM);
  wait(kStopGrace);
  for (const auto& run : runs)
    if (!run->state_->finished) run->signal_group(SIGKILL);
  wait(kStopInsistence);
  for (const auto& run : runs) {
    if (run->state_->finished) continue;
    run->state_->done = nullptr;
    run->finish();
  }
}

}  // namespace frisket::hooks
