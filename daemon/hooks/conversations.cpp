#include "daemon/hooks/conversations.h"

#include <spdlog/spdlog.h>

#include <boost/asio/co_spawn.hpp>
#include <exception>
#include <set>
#include <utility>

namespace frisket::hooks {

namespace asio = boost::asio;

struct Conversations::State {
  explicit State(asio::any_io_executor its_executor) : executor(std::move(its_executor)) {}

  asio::any_io_executor executor;
  std::set<std::shared_ptr<Connection>> under_way;
  bool stopped = false;
};

namespace {

std::string words_of(const std::exception_ptr& what) {
  try {
    std::rethrow_exception(what);
  } catch (const std::exception& bug) {
    return bug.what();
  }
}

}  // namespace

Conversations::Conversations(asio::any_io_executor executor) : state_(std::make_shared<State>(std::move(executor))) {}

void Conversations::start(std::chrono::seconds time_limit, Talk talk, Transport::Done done) {
  if (state_->stopped) return;
  auto connection = std::make_shared<Connection>(state_->executor);
  connection->allow(time_limit);
  state_->under_way.insert(connection);
  auto told = std::make_shared<bool>(false);
  Tell tell = [state = state_, told, done = std::move(done)](const Reply& reply) {
    if (!std::exchange(*told, true) && !state->stopped) done(reply);
  };
  auto kept = std::make_shared<Talk>(std::move(talk));  // its captures live as long as the coroutine
  auto ended = [state = state_, connection, kept, tell](const std::exception_ptr& what) {
    state->under_way.erase(connection);
    connection->close();
    if (!what) return;
    Reply reply;
    reply.verdict = Reply::Verdict::try_again;
    reply.local = true;
    reply.text = "an internal error: " + words_of(what);
    tell(reply);
  };
  asio::co_spawn(state_->executor, (*kept)(*connection, tell), std::move(ended));
}

void Conversations::stop() {
  state_->stopped = true;
  for (const auto& connection : state_->under_way) connection->close();
}

Reply failure_of(const Connection& connection) {
  Reply reply;
  reply.verdict = connection.opened() ? Reply::Verdict::try_again : Reply::Verdict::unreachable;
  reply.text = connection.trouble();
  reply.timed_out = connection.timed_out();
  return reply;
}

}  // namespace frisket::hooks
