// One mail handed to a server over SMTP (RFC 5321), with STARTTLS (RFC 3207) and AUTH (RFC 4954) as configured.
//
// libcurl's SMTP is not used: it waits for the answer to the message, and to QUIT, without letting anybody else work.
// On the io_context's thread.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <string>
#include <vector>

#include "config/hook.h"
#include "daemon/hooks/connection.h"
#include "daemon/hooks/transport.h"

namespace frisket::hooks {

class SmtpSession {
 public:
  // The connection is not open yet.
  SmtpSession(Connection& connection, const config::Hook& hook) : connection_(connection), hook_(hook) {}

  // Up to the answer to the message. Receivers that were refused for good are in refused().
  boost::asio::awaitable<Reply> hand_over(std::string message);
  // Says goodbye, as the server may expect.
  boost::asio::awaitable<void> quit();

  const std::vector<std::string>& refused() const { return refused_; }

 private:
  struct Answer {
    int code = 0;  // 0: none came
    std::string text;
    bool is(int kind) const { return code / 100 == kind; }
  };

  boost::asio::awaitable<Answer> answer();
  boost::asio::awaitable<Answer> ask(std::string line);
  boost::asio::awaitable<bool> greet();
  boost::asio::awaitable<bool> say_hello();
  boost::asio::awaitable<bool> encrypt();
  boost::asio::awaitable<bool> log_in();
  boost::asio::awaitable<bool> name_receivers();
  bool fail(const Answer& answer, const std::string& doing, bool final);

  Connection& connection_;
  const config::Hook& hook_;
  std::vector<std::string> abilities_;  // lines of the answer to EHLO, in upper case
  std::vector<std::string> refused_;    // "desk@example.org: 550 ..."
  Reply reply_;
};

}  // namespace frisket::hooks
