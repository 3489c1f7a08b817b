#include "daemon/http/unix_socket.h"

#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>

#include <optional>

namespace frisket::http {
namespace {

namespace asio = boost::asio;
namespace fs = std::filesystem;
using boost::system::error_code;
using Protocol = asio::local::stream_protocol;

model::Error failure(const fs::path& path, std::string what, model::Error::Kind kind = model::Error::Kind::local) {
  return {kind, "opening the UNIX socket", path.string(), std::move(what)};
}

// Nothing if the path is free now.
std::optional<model::Error> clear_the_way(const fs::path& path, const asio::any_io_executor& executor) {
  std::error_code error;
  const auto status = fs::symlink_status(path, error);
  if (!fs::exists(status)) return std::nullopt;
  if (!fs::is_socket(status)) return failure(path, "there is something else at this path");
  Protocol::socket probe(executor);
  error_code refused;
  probe.connect(Protocol::endpoint(path.string()), refused);
  if (!refused) return failure(path, "another daemon answers there");
  fs::remove(path, error);
  if (error) return failure(path, "cannot remove the socket left there: " + error.message());
  return std::nullopt;
}

}  // namespace

model::Result<UnixAcceptor> listen_at(const fs::path& path, const asio::any_io_executor& executor) {
  constexpr auto kMaxPath = sizeof(sockaddr_un::sun_path) - 1;
  if (path.empty() || path.string().size() > kMaxPath)
    return failure(path, "the path must have 1 to " + std::to_string(kMaxPath) + " bytes", model::Error::Kind::invalid);
  if (auto error = clear_the_way(path, executor)) return std::move(*error);

  UnixAcceptor acceptor(executor);
  error_code error;
  acceptor.open(Protocol(), error);
  // Between bind and chmod nobody but the owner may connect.
  const auto mask = ::umask(0117);
  if (!error) acceptor.bind(Protocol::endpoint(path.string()), error);
  ::umask(mask);
  if (!error) acceptor.listen(asio::socket_base::max_listen_connections, error);
  if (error) return failure(path, error.message());
  return acceptor;
}

std::optional<std::uint32_t> peer_uid(int descriptor) {
  ucred credentials{};
  socklen_t size = sizeof credentials;
  if (::getsockopt(descriptor, SOL_SOCKET, SO_PEERCRED, &credentials, &size) != 0) return std::nullopt;
  return credentials.uid;
}

}  // namespace frisket::http
