// Tells a notice by syslog: RFC 5426 (UDP), RFC 6587 (TCP), RFC 5425 (TLS).
//
// Syslog has no answer. Over UDP a message counts as told when it was sent, and may be lost. Over TCP and TLS each has
// a connection of its own, which is ended in both directions: so one that the server never read is noticed.
#pragma once

#include <string>

#include "daemon/hooks/conversations.h"
#include "daemon/hooks/transport.h"

namespace frisket::hooks {

class SyslogTransport final : public Transport {
 public:
  explicit SyslogTransport(boost::asio::any_io_executor executor);

  void send(const Message& message, Done done) override;
  void stop() override { conversations_.stop(); }

 private:
  Conversations conversations_;
  std::string host_;
};

}  // namespace frisket::hooks
