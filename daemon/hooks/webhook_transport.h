// Tells a notice by posting its JSON over HTTP.
//
// A status of 2xx means that the receiver took it. 4xx (but 408, 425 and 429) and 3xx mean that it never will:
// redirects are not followed, since a signed notice is for the receiver that is configured. Retry-After is
// the receiver's wish (RFC 9110 section 10.2.3).
#pragma once

#include <memory>

#include "daemon/hooks/curl_transfer.h"
#include "daemon/hooks/transport.h"

namespace frisket::hooks {

class WebhookTransport final : public Transport {
 public:
  explicit WebhookTransport(std::shared_ptr<CurlLoop> loop) : transfers_(std::move(loop)) {}

  void send(const Message& message, Done done) override;
  void stop() override { transfers_.stop(); }

 private:
  CurlTransfers transfers_;
};

}  // namespace frisket::hooks
