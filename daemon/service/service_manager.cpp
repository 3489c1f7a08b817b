#include "daemon/service/service_manager.h"

#include <spdlog/spdlog.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <limits>
#include <system_error>

#include "probes/model/text.h"

namespace frisket::service {
namespace {

constexpr std::size_t kLongestStatus = 512;  // bytes

std::string variable(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? "" : value;
}

// Nothing if it is no whole number above zero.
std::optional<std::uint64_t> number(const std::string& text) {
  std::uint64_t value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || value == 0) return std::nullopt;
  return value;
}

std::optional<std::chrono::microseconds> beat_of(const ServiceManager::Invitation& invitation) {
  if (!invitation.watchdog_pid.empty() && number(invitation.watchdog_pid) != static_cast<std::uint64_t>(::getpid()))
    return std::nullopt;
  const auto allowed = number(invitation.watchdog_usec);
  if (!allowed || *allowed == std::numeric_limits<std::uint64_t>::max()) return std::nullopt;  // "infinity"
  constexpr std::uint64_t kLongest = 86'400'000'000;                                           // a day
  return std::chrono::microseconds(static_cast<std::int64_t>(std::clamp<std::uint64_t>(*allowed / 2, 1, kLongest)));
}

}  // namespace

ServiceManager::Invitation ServiceManager::invitation() {
  return {variable("NOTIFY_SOCKET"), variable("WATCHDOG_USEC"), variable("WATCHDOG_PID")};
}

ServiceManager::ServiceManager(const Invitation& invitation) {
  if (invitation.socket.empty()) return;
  const bool is_path = invitation.socket.front() == '/';
  if ((!is_path && invitation.socket.front() != '@') || invitation.socket.size() >= sizeof(sockaddr_un::sun_path)) {
    spdlog::warn("[service-manager] NOTIFY_SOCKET is neither a path nor an abstract name that fits; nobody is told");
    return;
  }
  address_ = invitation.socket;
  if (!is_path) address_.front() = '\0';
  socket_ = ::socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
  if (socket_ >= 0) beat_ = beat_of(invitation);
}

ServiceManager::~ServiceManager() {
  if (socket_ >= 0) ::close(socket_);
}

void ServiceManager::ready() { tell("READY=1"); }

void ServiceManager::reloading(model::SteadyTime now) {
  // The steady clock is CLOCK_MONOTONIC in libstdc++, which is what the manager compares it with.
  const auto since = std::chrono::duration_cast<std::chrono::microseconds>(now.time_since_epoch());
  tell("RELOADING=1\nMONOTONIC_USEC=" + std::to_string(since.count()));
}

void ServiceManager::stopping() { tell("STOPPING=1"); }

void ServiceManager::alive() {
  if (!owed_.empty() && send(owed_)) owed_.clear();
  send("WATCHDOG=1");
}

void ServiceManager::status(const std::string& line) {
  if (!owed_.empty() && send(owed_)) owed_.clear();
  // One line: an end of line in it would begin another assignment.
  const std::string tidy = model::decode_text(line, model::Charset::utf8, kLongestStatus);
  if (tidy != status_ && send("STATUS=" + tidy)) status_ = tidy;
}

// Of several states that do not get out the last one counts: the manager need not know of a reload that is over.
void ServiceManager::tell(const std::string& state) { owed_ = send(state) ? "" : state; }

// False if the same may get out later.
bool ServiceManager::send(const std::string& message) {
  if (socket_ < 0) return true;
  sockaddr_un to{};
  to.sun_family = AF_UNIX;
  std::copy(address_.begin(), address_.end(), to.sun_path);
  const auto size = static_cast<socklen_t>(offsetof(sockaddr_un, sun_path) + address_.size());
  // A socket call of POSIX wants the general type of the address.
  const auto* general = reinterpret_cast<const sockaddr*>(&to);
  if (::sendto(socket_, message.data(), message.size(), MSG_NOSIGNAL, general, size) >= 0) return true;
  const int failure = errno;
  if (failure == EAGAIN || failure == EWOULDBLOCK || failure == ENOBUFS || failure == EINTR) return false;
  if (!complained_)
    spdlog::warn("[service-manager] cannot be told how the daemon is: {}", std::generic_category().message(failure));
  complained_ = true;
  return true;
}

}  // namespace frisket::service
