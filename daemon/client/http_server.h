// The daemon over HTTP, by libcurl: TCP or a UNIX socket.
//
// Bounded in time and size; follows no redirect, uses no proxy, sends no cookie. One thread.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "daemon/client/address.h"
#include "daemon/client/server.h"

namespace frisket::client {

class HttpServer final : public Server {
 public:
  struct Bounds {
    long connect_ms = 5'000;
    long whole_ms = 60'000;         // of one get()
    long quiet_ms = 90'000;         // a stream that sends nothing for so long is taken for dead
    std::size_t body = 64U << 20U;  // bytes
  };

  // The addresses are tried in order until one takes the connection; it is then kept. There
  // is at least one. `stop_descriptor` ends follow() once it is readable; -1: nothing does. `token` is shown
  // with each request (RFC 6750) unless it is empty.
  HttpServer(std::vector<Address> addresses, int stop_descriptor, std::string token, Bounds bounds);
  HttpServer(std::vector<Address> addresses, int stop_descriptor, std::string token = {})
      : HttpServer(std::move(addresses), stop_descriptor, std::move(token), Bounds{}) {}
  ~HttpServer() override;

  model::Result<Answer> get(const std::string& path) override;
  model::Result<Answer> post(const std::string& path, const std::string& json) override;
  model::Result<Answer> follow(const std::string& path, const std::string& last_event_id,
                               const std::function<bool(std::string_view)>& take) override;
  std::string name() const override;

 private:
  struct Session;

  // Runs `attempt` against the addresses until one takes the connection.
  template <class Attempt>
  model::Result<Answer> first_that_connects(Attempt attempt);

  std::vector<Address> addresses_;
  int stop_descriptor_;
  std::string token_;
  Bounds bounds_;
  std::unique_ptr<Session> session_;
};

}  // namespace frisket::client
