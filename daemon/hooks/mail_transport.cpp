#include "daemon/hooks/mail_transport.h"

#include <spdlog/spdlog.h>

#include <utility>

#include "daemon/hooks/mail_message.h"
#include "daemon/hooks/smtp_session.h"

namespace frisket::hooks {
namespace {

namespace asio = boost::asio;
using HookPointer = std::shared_ptr<const config::Hook>;

asio::awaitable<void> talk(Connection& connection, HookPointer hook, std::string text, Conversations::Tell tell) {
  SmtpSession session(connection, *hook);
  const auto reply = co_await session.hand_over(std::move(text));
  if (reply.verdict == Reply::Verdict::delivered)
    for (const auto& receiver : session.refused()) spdlog::warn("[hook-receiver-refused] {}: {}", hook->name, receiver);
  tell(reply);
  co_await session.quit();
}

}  // namespace

void MailTransport::send(const Message& message, Done done) {
  const auto text = mail_message(*message.hook, message.notices, message.now);
  conversations_.start(
      message.hook->time_limit,
      [hook = message.hook, text](Connection& connection, Conversations::Tell tell) {
        return talk(connection, hook, text, std::move(tell));
      },
      std::move(done));
}

}  // namespace frisket::hooks
