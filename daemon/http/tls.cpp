#include "daemon/http/tls.h"

#include <boost/asio/buffer.hpp>

namespace frisket::http {

namespace ssl = boost::asio::ssl;

model::Result<std::shared_ptr<ssl::context>> tls_context(const config::Certificate& certificate) {
  auto context = std::make_shared<ssl::context>(ssl::context::tls_server);
  boost::system::error_code error;
  SSL_CTX_set_min_proto_version(context->native_handle(), TLS1_2_VERSION);
  SSL_CTX_set_options(context->native_handle(), SSL_OP_NO_COMPRESSION | SSL_OP_NO_RENEGOTIATION);
  // A connection that waits, an event stream among them, holds no buffers.
  SSL_CTX_set_mode(context->native_handle(), SSL_MODE_RELEASE_BUFFERS);
  context->use_certificate_chain(boost::asio::buffer(certificate.chain), error);
  if (!error) context->use_private_key(boost::asio::buffer(certificate.key), ssl::context::pem, error);
  if (error) return model::Error{model::Error::Kind::invalid, "taking the certificate", "", error.message()};
  return context;
}

}  // namespace frisket::http
