#include "daemon/hooks/exec_transport.h"

#include <algorithm>
#include <boost/asio/post.hpp>
#include <string_view>
#include <utility>

#include "daemon/hooks/environment.h"
#include "daemon/hooks/notice_body.h"
#include "daemon/hooks/program_run.h"
#include "probes/model/text.h"

namespace frisket::hooks {
namespace {

constexpr std::size_t kLongestShownLine = 1000;

// Output as one line of a log: control characters are gone, its lines are parted by " | ".
std::string shown(const Outcome& outcome) {
  std::string text;
  std::string_view rest = outcome.output;
  while (!rest.empty()) {
    const auto line = rest.substr(0, rest.find('\n'));
    rest.remove_prefix(std::min(line.size() + 1, rest.size()));
    const auto clean = model::decode_text(line, model::Charset::utf8, kLongestShownLine);
    if (clean.empty()) continue;
    if (!text.empty()) text += " | ";
    text += clean;
  }
  if (outcome.output_cut) text += " | (and more)";
  return text.empty() ? "no output" : "output: " + text;
}

std::string ending(const Outcome& outcome, const config::Hook& hook) {
  if (outcome.timed_out) return "ended by the time limit of " + std::to_string(hook.time_limit.count()) + " s";
  if (outcome.signal != 0) return "ended by signal " + std::to_string(outcome.signal);
  return "exit status " + std::to_string(outcome.status);
}

Reply reply_of(const Outcome& outcome, const config::Hook& hook) {
  Reply reply;
  reply.verdict = outcome.succeeded() ? Reply::Verdict::delivered : Reply::Verdict::try_again;
  reply.text = ending(outcome, hook) + "; " + shown(outcome);
  reply.timed_out = outcome.timed_out;
  return reply;
}

}  // namespace

struct ExecTransport::Runs {
  std::map<std::uint64_t, std::shared_ptr<ProgramRun>> under_way;
  std::uint64_t next = 0;
  bool stopped = false;
};

ExecTransport::ExecTransport(boost::asio::any_io_executor executor)
    : executor_(std::move(executor)), runs_(std::make_shared<Runs>()) {}

ExecTransport::~ExecTransport() = default;

void ExecTransport::send(const Message& message, Done done) {
  const auto& hook = message.hook;
  const Program program{hook->program, hook->arguments, environment_for(message.notices),
                        body_of(message.notices) + "\n"};
  const auto number = runs_->next++;
  auto ended = [runs = runs_, hook, number, done](const Outcome& outcome) {
    runs->under_way.erase(number);
    done(reply_of(outcome, *hook));
  };
  auto started = ProgramRun::start(executor_, program, hook->time_limit, std::move(ended));
  if (started) {
    runs_->under_way.emplace(number, *started);
    return;
  }
  Reply reply;
  reply.verdict = Reply::Verdict::try_again;
  reply.text = started.error().text();
  reply.local = true;
  boost::asio::post(executor_, [runs = runs_, done = std::move(done), reply = std::move(reply)] {
    if (!runs->stopped) done(reply);
  });
}

void ExecTransport::stop() {
  runs_->stopped = true;
  std::vector<std::shared_ptr<ProgramRun>> ending_now;
  for (const auto& [number, run] : runs_->under_way) ending_now.push_back(run);
  runs_->under_way.clear();
  ProgramRun::end_all(ending_now);
}

}  // namespace frisket::hooks
