// The path of a UNIX socket: taken over from a daemon that is gone, never from one that runs.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <cstdint>
#include <filesystem>
#include <optional>

#include "probes/model/result.h"

namespace frisket::http {

using UnixAcceptor = boost::asio::local::stream_protocol::acceptor;

// Listens at `path`, mode 0660. An existing socket that nobody answers at is removed; one that
// answers, and anything that is no socket, is an error. Does not wait.
model::Result<UnixAcceptor> listen_at(const std::filesystem::path& path, const boost::asio::any_io_executor& executor);

// The user at the other end of a connected socket, as he was when he connected (SO_PEERCRED, unix(7)).
std::optional<std::uint32_t> peer_uid(int descriptor);

}  // namespace frisket::http
