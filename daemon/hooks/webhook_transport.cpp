#include "daemon/hooks/webhook_transport.h"

#include <chrono>
#include <string>
#include <utility>

#include "daemon/hooks/notice_body.h"
#include "daemon/hooks/signature.h"
#include "probes/model/text.h"

namespace frisket::hooks {
namespace {

using Verdict = Reply::Verdict;

constexpr std::size_t kLongestShown = 200;

Verdict verdict_of(long status) {
  if (status >= 200 && status < 300) return Verdict::delivered;
  const bool later = status == 408 || status == 425 || status == 429;  // RFC 9110, RFC 8470, RFC 6585
  return status >= 300 && status < 500 && !later ? Verdict::refused : Verdict::try_again;
}

std::string text_of(const CurlTransfer& transfer) {
  std::string text = "HTTP status " + std::to_string(transfer.status());
  const auto heard = model::decode_text(transfer.heard, model::Charset::utf8, kLongestShown);
  return heard.empty() ? text : text + ": " + heard;
}

Reply reply_of(const CurlTransfer& transfer, CURLcode code) {
  // The status is all that counts: what follows it is not read to its end.
  if (code != CURLE_OK && !(transfer.too_much && transfer.status() >= 200)) return transfer.failure(code);
  Reply reply;
  reply.verdict = verdict_of(transfer.status());
  reply.text = text_of(transfer);
  curl_off_t seconds = 0;
  curl_easy_getinfo(transfer.easy(), CURLINFO_RETRY_AFTER, &seconds);
  if (seconds > 0 && reply.verdict == Verdict::try_again) reply.retry_after = std::chrono::seconds(seconds);
  return reply;
}

}  // namespace

void WebhookTransport::send(const Message& message, Done done) {
  const auto& hook = *message.hook;
  auto transfer = std::make_unique<CurlTransfer>();
  transfer->prepare(hook.webhook.url, hook.time_limit, hook.webhook.ca_file);
  transfer->sent = body_of(message.notices);
  const auto seconds = std::chrono::floor<std::chrono::seconds>(message.now).time_since_epoch().count();
  transfer->add_header("Content-Type: application/json");
  transfer->add_header("Expect:");  // bodies are short
  transfer->add_header("Frisket-Notice: " + message.notices.front().id);
  transfer->add_header("Frisket-Time: " + std::to_string(seconds));
  if (!hook.webhook.secret.empty())
    transfer->add_header("Frisket-Signature: " + signature_of(hook.webhook.secret, seconds, transfer->sent));
  curl_easy_setopt(transfer->easy(), CURLOPT_USERAGENT, "frisketd");
  curl_easy_setopt(transfer->easy(), CURLOPT_POST, 1L);
  curl_easy_setopt(transfer->easy(), CURLOPT_POSTFIELDSIZE_LARGE, static_cast<curl_off_t>(transfer->sent.size()));
  curl_easy_setopt(transfer->easy(), CURLOPT_POSTFIELDS, transfer->sent.c_str());
  transfers_.start(std::move(transfer),
                   [done = std::move(done)](const CurlTransfer& ended, CURLcode code) { done(reply_of(ended, code)); });
}

}  // namespace frisket::hooks
