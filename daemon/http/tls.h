// What the listener offers over TLS.
#pragma once

#include <boost/asio/ssl/context.hpp>
#include <memory>

#include "config/certificate.h"
#include "probes/model/result.h"

namespace frisket::http {

// TLS 1.2 and later (RFC 9325 section 3.1.1), without compression and renegotiation.
model::Result<std::shared_ptr<boost::asio::ssl::context>> tls_context(const config::Certificate& certificate);

}  // namespace frisket::http
