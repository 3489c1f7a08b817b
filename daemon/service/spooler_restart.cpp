#include "daemon/service/spooler_restart.h"

#include <optional>
#include <vector>

#include "daemon/hooks/environment.h"
#include "probes/model/text.h"

namespace frisket::service {

using model::Error;

struct SpoolerRestarts::Wait {
  std::shared_ptr<hooks::ProgramRun> run;
  std::unique_ptr<Sleeper> sleeper;
  std::optional<hooks::Outcome> outcome;
};

namespace {

std::string first_line(const std::string& output) {
  return model::decode_text(output.substr(0, output.find(char(10))), model::Charset::utf8);
}

std::string words_of(const hooks::Outcome& outcome) {
  std::string words = outcome.timed_out     ? "it had not ended after " + std::to_string(kRestartLimit.count()) + " s"
                      : outcome.signal != 0 ? "it was ended by signal " + std::to_string(outcome.signal)
                                            : "exit status " + std::to_string(outcome.status);
  const auto line = first_line(outcome.output);
  return line.empty() ? words : words + ": " + line;
}

}  // namespace

boost::asio::awaitable<model::Result<model::Done>> SpoolerRestarts::run(config::Spooler spooler) {
  if (spooler.restart_program.empty())
    co_return Error{Error::Kind::invalid, "", spooler.name, "no restart_program is configured for it"};
  hooks::Program program;
  program.file = spooler.restart_program;
  program.arguments = spooler.restart_arguments;
  program.environment = hooks::base_environment();

  auto wait = std::make_shared<Wait>();
  wait->sleeper = clock_.make_sleeper(executor_);
  hooks::ProgramRun::Done ended = [wait](const hooks::Outcome& outcome) {
    wait->outcome = outcome;
    wait->sleeper->wake();
  };
  auto started = hooks::ProgramRun::start(executor_, program, kRestartLimit, std::move(ended));
  if (!started) co_return started.error();
  wait->run = std::move(*started);
  waits_.insert(wait);
  // The program's own limit ends it; this is only in case nobody says so.
  const auto due = clock_.steady_now() + 2 * kRestartLimit;
  co_await wait->sleeper->until(due);
  waits_.erase(wait);
  const auto file = spooler.restart_program.string();
  if (!wait->outcome) co_return Error{Error::Kind::local, "restarting", file, "nobody waits for its end any more"};
  if (!wait->outcome->succeeded()) co_return Error{Error::Kind::local, "restarting", file, words_of(*wait->outcome)};
  co_return model::Done{};
}

void SpoolerRestarts::stop() {
  std::vector<std::shared_ptr<hooks::ProgramRun>> runs;
  for (const auto& wait : waits_) runs.push_back(wait->run);
  hooks::ProgramRun::end_all(runs);
  for (const auto& wait : waits_) wait->sleeper->wake();
}

}  // namespace frisket::service
