// A peer on loopback or on a UNIX socket that answers each connection with the next of some
// canned octets, and closes it. Serves as many connections as it has answers, or until it is destroyed.
#pragma once

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <cstring>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

namespace frisket::client {

class CannedDaemon {
 public:
  // On a port of its own.
  explicit CannedDaemon(std::vector<std::string> answers) : listener_(::socket(AF_INET, SOCK_STREAM, 0)) {
    ::sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    ::socklen_t size = sizeof address;
    listen_on(reinterpret_cast<::sockaddr*>(&address), size);
    ::getsockname(listener_, reinterpret_cast<::sockaddr*>(&address), &size);
    port = ntohs(address.sin_port);
    start(std::move(answers));
  }

  // On a UNIX socket.
  CannedDaemon(const std::string& path, std::vector<std::string> answers)
      : listener_(::socket(AF_UNIX, SOCK_STREAM, 0)) {
    ::sockaddr_un address{};
    address.sun_family = AF_UNIX;
    std::strncpy(address.sun_path, path.c_str(), sizeof address.sun_path - 1);
    listen_on(reinterpret_cast<::sockaddr*>(&address), sizeof address);
    start(std::move(answers));
  }

  ~CannedDaemon() {
    ::shutdown(listener_, SHUT_RDWR);
    thread_.join();
    ::close(listener_);
  }
  CannedDaemon(const CannedDaemon&) = delete;
  CannedDaemon& operator=(const CannedDaemon&) = delete;

  // The requests so far; read it only after all answers were fetched.
  std::vector<std::string> requests;
  int port = 0;

  std::string url() const { return "http://127.0.0.1:" + std::to_string(port); }

 private:
  void listen_on(const ::sockaddr* address, ::socklen_t size) {
    if (::bind(listener_, address, size) != 0 || ::listen(listener_, 8) != 0) throw std::runtime_error("no listener");
  }

  void start(std::vector<std::string> answers) {
    thread_ = std::thread([this, answers = std::move(answers)] {
      for (const std::string& answer : answers) {
        const int peer = ::accept(listener_, nullptr, nullptr);
        if (peer < 0) return;
        std::string request;
        char piece[4096];
        for (::ssize_t got = 1; got > 0 && request.find("\r\n\r\n") == std::string::npos;) {
          got = ::recv(peer, piece, sizeof piece, 0);
          if (got > 0) request.append(piece, static_cast<std::size_t>(got));
        }
        // A body of the length that the header tells.
        const std::string length_is = "Content-Length: ";
        const auto at = request.find(length_is);
        const std::size_t body = at == std::string::npos ? 0 : std::stoul(request.substr(at + length_is.size()));
        const std::size_t whole = request.find("\r\n\r\n") + 4 + body;
        for (::ssize_t got = 1; got > 0 && request.size() < whole;) {
          got = ::recv(peer, piece, sizeof piece, 0);
          if (got > 0) request.append(piece, static_cast<std::size_t>(got));
        }
        requests.push_back(request);
        std::size_t sent = 0;
        while (sent < answer.size()) {
          const ::ssize_t now = ::send(peer, answer.data() + sent, answer.size() - sent, MSG_NOSIGNAL);
          if (now <= 0) break;
          sent += static_cast<std::size_t>(now);
        }
        // An answer that is empty stands for a peer that says nothing: it waits for the client to go.
        if (answer.empty()) ::recv(peer, piece, sizeof piece, 0);
        ::close(peer);
      }
    });
  }

  int listener_;
  std::thread thread_;
};

}  // namespace frisket::client
