#include "daemon/hooks/syslog_transport.h"

#include <unistd.h>

#include <array>
#include <utility>
#include <vector>

#include "daemon/hooks/syslog_message.h"

namespace frisket::hooks {
namespace {

namespace asio = boost::asio;
using Way = config::SyslogReceiver::Transport;
using HookPointer = std::shared_ptr<const config::Hook>;
using Texts = std::vector<std::string>;

std::string name_of_this_machine() {
  std::array<char, 256> name{};
  return ::gethostname(name.data(), name.size() - 1) == 0 ? name.data() : "";
}

asio::awaitable<bool> send_datagrams(Connection& connection, const config::SyslogReceiver& server, const Texts& texts) {
  for (const auto& text : texts) {
    const bool sent = co_await connection.send_datagram(server.server, server.port, text);
    if (!sent) co_return false;
  }
  co_return true;
}

asio::awaitable<bool> send_frames(Connection& connection, const config::SyslogReceiver& server, const Texts& texts) {
  std::string frames;
  for (const auto& text : texts) frames += counted_frame(text);
  bool well = co_await connection.open(server.server, server.port);
  if (well && server.transport == Way::tls) well = co_await connection.encrypt(server.server, server.ca_file);
  if (well) well = co_await connection.write(frames);
  if (!well) co_return false;
  well = co_await connection.finish();
  // A server that has not ended its side in time has the message all the same.
  co_return well || connection.timed_out();
}

asio::awaitable<void> talk(Connection& connection, HookPointer hook, Texts texts, Conversations::Tell tell) {
  const auto& server = hook->syslog;
  bool well = false;
  if (server.transport == Way::udp)
    well = co_await send_datagrams(connection, server, texts);
  else
    well = co_await send_frames(connection, server, texts);
  Reply reply;
  reply.text = "sent";
  if (!well) reply = failure_of(connection);
  tell(reply);
}

}  // namespace

SyslogTransport::SyslogTransport(asio::any_io_executor executor)
    : conversations_(std::move(executor)), host_(name_of_this_machine()) {}

void SyslogTransport::send(const Message& message, Done done) {
  Texts texts;
  for (const auto& notice : message.notices)
    texts.push_back(syslog_message(message.hook->syslog.facility, host_, notice));
  conversations_.start(
      message.hook->time_limit,
      [hook = message.hook, texts](Connection& connection, Conversations::Tell tell) {
        return talk(connection, hook, texts, std::move(tell));
      },
      std::move(done));
}

}  // namespace frisket::hooks
