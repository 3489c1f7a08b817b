// Tells a notice by mail.
//
// The server's 2xx to the message means that it took it. A 5xx to the sender, to every receiver or to the
// message means that it never will; anything else may be better later. Where one of several receivers is refused for
// good, the others get the mail all the same, and the log says who did not.
#pragma once

#include "daemon/hooks/conversations.h"
#include "daemon/hooks/transport.h"

namespace frisket::hooks {

class MailTransport final : public Transport {
 public:
  explicit MailTransport(boost::asio::any_io_executor executor) : conversations_(std::move(executor)) {}

  void send(const Message& message, Done done) override;
  void stop() override { conversations_.stop(); }

 private:
  Conversations conversations_;
};

}  // namespace frisket::hooks
