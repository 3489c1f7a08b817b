#include "daemon/hooks/curl_transfer.h"

#include <sys/socket.h>

#include <algorithm>
#include <chrono>
#include <utility>

#include "probes/model/text.h"

namespace frisket::hooks {
namespace {

constexpr std::size_t kMostHeard = 512;        // bytes that are kept
constexpr std::size_t kMostBorne = 64 * 1024;  // bytes; then the transfer ends
constexpr std::size_t kLongestWords = 400;

std::string clean(std::string_view text) { return model::decode_text(text, model::Charset::utf8, kLongestWords); }

// libcurl's sockets are not for the programs that exec hooks start.
curl_socket_t open_socket(void*, curlsocktype, curl_sockaddr* address) {
  return ::socket(address->family, address->socktype | SOCK_CLOEXEC, address->protocol);
}

std::size_t hear(char* data, std::size_t, std::size_t count, void* user) {
  auto& transfer = *static_cast<CurlTransfer*>(user);
  if (transfer.heard.size() < kMostHeard)
    transfer.heard.append(data, std::min(count, kMostHeard - transfer.heard.size()));
  return count;
}

int progress(void* user, curl_off_t, curl_off_t received, curl_off_t, curl_off_t) {
  auto& transfer = *static_cast<CurlTransfer*>(user);
  transfer.too_much = received > static_cast<curl_off_t>(kMostBorne);
  return transfer.too_much ? 1 : 0;
}

}  // namespace

CurlTransfer::CurlTransfer() : easy_(curl_easy_init()) {}

CurlTransfer::~CurlTransfer() {
  curl_easy_cleanup(easy_);
  curl_slist_free_all(headers_);
}

void CurlTransfer::prepare(const std::string& url, std::chrono::seconds time_limit,
                           const std::filesystem::path& ca_file) {
  curl_easy_setopt(easy_, CURLOPT_URL, url.c_str());
  curl_easy_setopt(easy_, CURLOPT_PROTOCOLS_STR, "http,https");
  curl_easy_setopt(easy_, CURLOPT_PROXY, "");
  curl_easy_setopt(easy_, CURLOPT_NOSIGNAL, 1L);
  curl_easy_setopt(easy_, CURLOPT_QUICK_EXIT, 1L);  // do not wait for a resolver that hangs
  curl_easy_setopt(easy_, CURLOPT_SSLVERSION, static_cast<long>(CURL_SSLVERSION_TLSv1_2));
  curl_easy_setopt(easy_, CURLOPT_TIMEOUT_MS,
                   static_cast<long>(std::chrono::duration_cast<std::chrono::milliseconds>(time_limit).count()));
  curl_easy_setopt(easy_, CURLOPT_ERRORBUFFER, words_.data());
  curl_easy_setopt(easy_, CURLOPT_OPENSOCKETFUNCTION, open_socket);
  curl_easy_setopt(easy_, CURLOPT_WRITEFUNCTION, hear);
  curl_easy_setopt(easy_, CURLOPT_WRITEDATA, this);
  curl_easy_setopt(easy_, CURLOPT_NOPROGRESS, 0L);
  curl_easy_setopt(easy_, CURLOPT_XFERINFOFUNCTION, progress);
  curl_easy_setopt(easy_, CURLOPT_XFERINFODATA, this);
  if (ca_file.empty()) return;
  curl_easy_setopt(easy_, CURLOPT_CAINFO, ca_file.c_str());
  curl_easy_setopt(easy_, CURLOPT_CAPATH, nullptr);  // these, and no others
}

void CurlTransfer::add_header(const std::string& line) {
  if (curl_slist* longer = curl_slist_append(headers_, line.c_str())) headers_ = longer;
  curl_easy_setopt(easy_, CURLOPT_HTTPHEADER, headers_);
}

long CurlTransfer::status() const {
  long status = 0;
  curl_easy_getinfo(easy_, CURLINFO_RESPONSE_CODE, &status);
  return status;
}

std::string CurlTransfer::words(CURLcode code) const {
  return clean(words_.front() != '\0' ? words_.data() : curl_easy_strerror(code));
}

Reply CurlTransfer::failure(CURLcode code) const {
  curl_off_t connected = 0;
  curl_easy_getinfo(easy_, CURLINFO_CONNECT_TIME_T, &connected);
  Reply reply;
  reply.verdict = connected == 0 ? Reply::Verdict::unreachable : Reply::Verdict::try_again;
  reply.text = words(code);
  reply.timed_out = code == CURLE_OPERATION_TIMEDOUT;
  reply.local = code == CURLE_FAILED_INIT || code == CURLE_OUT_OF_MEMORY;
  return reply;
}

void CurlTransfers::start(std::unique_ptr<CurlTransfer> transfer, Ended ended) {
  const auto number = next_++;
  auto& kept = (*under_way_)[number] = std::move(transfer);
  loop_->start(kept->easy(), [under_way = under_way_, number, ended = std::move(ended)](CURLcode code) {
    const auto entry = under_way->extract(number);
    if (!entry.empty()) ended(*entry.mapped(), code);
  });
}

void CurlTransfers::stop() {
  loop_->stop();
  under_way_->clear();
}

}  // namespace frisket::hooks
