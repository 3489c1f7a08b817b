// The path of a UNIX socket: taken over from a daemon that is gone, never from one that runs.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/local/stream_protocol.hpp>
#include <filesystem>

#include "probes/model/result.h"

namespace frisket::http {

using UnixAcceptor = boost::asio::local::stream_protocol::acceptor;

// Listens at `path`, mode 0660. An existing socket that nobody answers at is removed; one that
// answers, and anything that is no socket, is an error. Does not wait.
model::Result<UnixAcceptor> listen_at(const std::filesystem::path& path, const boost::asio::any_io_executor& executor);

}  // namespace frisket::http
