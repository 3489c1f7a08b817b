#include "daemon/client/http_server.h"

#include <curl/curl.h>

#include <array>
#include <system_error>
#include <utility>

#include "daemon/client/display.h"

namespace frisket::client {
namespace {

// One request and what came of it so far.
struct Transfer {
  Transfer(CURL* handle, std::size_t body_limit) : curl(handle), limit(body_limit) {}

  CURL* curl;
  std::size_t limit;
  const std::function<bool(std::string_view)>* take = nullptr;  // null: everything goes into the body
  std::string body;
  bool too_long = false;
  bool taker_stopped = false;
  bool stopped = false;  // somebody wants the program to stop
  bool quiet = false;
  curl_off_t heard_at = 0;  // microseconds of the transfer

  long status() const {
    long status = 0;
    curl_easy_getinfo(curl, CURLINFO_RESPONSE_CODE, &status);
    return status;
  }
  std::string content_type() const {
    const char* type = nullptr;
    curl_easy_getinfo(curl, CURLINFO_CONTENT_TYPE, &type);
    return type == nullptr ? "" : type;
  }
  curl_off_t elapsed() const {
    curl_off_t microseconds = 0;
    curl_easy_getinfo(curl, CURLINFO_TOTAL_TIME_T, &microseconds);
    return microseconds;
  }
  bool is_stream() const { return status() == 200 && content_type().starts_with("text/event-stream"); }
};

std::size_t write_piece(char* data, std::size_t, std::size_t count, void* user) {
  auto& transfer = *static_cast<Transfer*>(user);
  transfer.heard_at = transfer.elapsed();
  if (transfer.take != nullptr && transfer.is_stream()) {
    transfer.taker_stopped = !(*transfer.take)({data, count});
    return transfer.taker_stopped ? 0 : count;
  }
  transfer.too_long = transfer.body.size() + count > transfer.limit;
  if (transfer.too_long) return 0;
  transfer.body.append(data, count);
  return count;
}

model::Error::Kind kind_of(CURLcode code) {
  switch (code) {
    case CURLE_COULDNT_RESOLVE_HOST:
    case CURLE_COULDNT_CONNECT:
    case CURLE_OPERATION_TIMEDOUT:
    case CURLE_GOT_NOTHING:
    case CURLE_SEND_ERROR:
    case CURLE_RECV_ERROR:
    case CURLE_PARTIAL_FILE:
      return model::Error::Kind::silent;
    case CURLE_FAILED_INIT:
    case CURLE_NOT_BUILT_IN:
      return model::Error::Kind::local;
    default:
      return model::Error::Kind::nonsense;
  }
}

struct HeaderList {
  curl_slist* first = nullptr;

  explicit HeaderList(const std::string& token) {
    if (!token.empty()) add("Authorization: Bearer " + token);
  }
  ~HeaderList() { curl_slist_free_all(first); }
  HeaderList(const HeaderList&) = delete;
  HeaderList& operator=(const HeaderList&) = delete;
  void add(const std::string& line) {
    if (curl_slist* longer = curl_slist_append(first, line.c_str())) first = longer;
  }
};

}  // namespace

struct HttpServer::Session {
  std::unique_ptr<CURL, decltype(&curl_easy_cleanup)> easy{curl_easy_init(), curl_easy_cleanup};
  std::array<char, CURL_ERROR_SIZE> words{};

  void prepare(const Address& address, const std::string& path, const Bounds& bounds, Transfer& transfer) {
    CURL* curl = easy.get();
    curl_easy_reset(curl);
    words.front() = '\0';
    const std::string url = address.base + path;
    curl_easy_setopt(curl, CURLOPT_URL, url.c_str());
    curl_easy_setopt(curl, CURLOPT_PATH_AS_IS, 1L);
    if (!address.unix_socket.empty()) curl_easy_setopt(curl, CURLOPT_UNIX_SOCKET_PATH, address.unix_socket.c_str());
    curl_easy_setopt(curl, CURLOPT_PROTOCOLS_STR, "http,https");
    curl_easy_setopt(curl, CURLOPT_PROXY, "");
    curl_easy_setopt(curl, CURLOPT_NOSIGNAL, 1L);
    curl_easy_setopt(curl, CURLOPT_CONNECTTIMEOUT_MS, bounds.connect_ms);
    curl_easy_setopt(curl, CURLOPT_ERRORBUFFER, words.data());
    curl_easy_setopt(curl, CURLOPT_USERAGENT, "frisket/" FRISKET_VERSION);
    curl_easy_setopt(curl, CURLOPT_WRITEFUNCTION, write_piece);
    curl_easy_setopt(curl, CURLOPT_WRITEDATA, &transfer);
  }

  // The system's own words, since libcurl's name a host and a port even for a UNIX socket.
  std::string connect_words() const {
    long number = 0;
    curl_easy_getinfo(easy.get(), CURLINFO_OS_ERRNO, &number);
    return number == 0 ? "nobody answers" : std::generic_category().message(static_cast<int>(number));
  }

  // What a finished transfer means.
  model::Result<Answer> outcome(CURLcode code, const Address& address, Transfer& transfer) const {
    if (code == CURLE_OK || transfer.taker_stopped || transfer.stopped)
      return Answer{static_cast<int>(transfer.status()), transfer.content_type(), std::move(transfer.body)};
    model::Error error{.kind = kind_of(code), .doing = "asking " + address.name(), .whom = "", .what = ""};
    error.what = inert(words.front() != '\0' ? words.data() : curl_easy_strerror(code));
    // libcurl's word for a header line beyond its bound.
    if (code == CURLE_OUT_OF_MEMORY) error.what = "a header line is too long";
    if (code == CURLE_COULDNT_CONNECT) error.what = "cannot connect: " + connect_words();
    if (transfer.too_long) error.what = "the answer is longer than " + std::to_string(transfer.limit) + " bytes";
    if (transfer.quiet) {
      error.kind = model::Error::Kind::silent;
      error.what = "nothing was heard for too long";
    }
    return error;
  }

  // Performs the transfer until it ends, the stop descriptor is readable, or nothing
  // has been heard for too long.
  CURLcode perform_until(int stop_descriptor, long quiet_ms, Transfer& transfer) const {
    const std::unique_ptr<CURLM, decltype(&curl_multi_cleanup)> multi(curl_multi_init(), curl_multi_cleanup);
    if (!multi || curl_multi_add_handle(multi.get(), easy.get()) != CURLM_OK) return CURLE_FAILED_INIT;
    CURLcode code = CURLE_ABORTED_BY_CALLBACK;
    int running = 1;
    while (running > 0) {
      if (curl_multi_perform(multi.get(), &running) != CURLM_OK) break;
      int left = 0;
      while (const CURLMsg* message = curl_multi_info_read(multi.get(), &left))
        if (message->msg == CURLMSG_DONE) code = message->data.result;
      if (running == 0) break;
      transfer.quiet = transfer.elapsed() - transfer.heard_at > curl_off_t{quiet_ms} * 1000;
      if (transfer.quiet) break;
      curl_waitfd stop{.fd = stop_descriptor, .events = CURL_WAIT_POLLIN, .revents = 0};
      constexpr int kLongestWait = 1000;  // so that quiet is noticed
      curl_multi_poll(multi.get(), &stop, stop_descriptor >= 0 ? 1U : 0U, kLongestWait, nullptr);
      transfer.stopped = stop.revents != 0;
      if (transfer.stopped) break;
    }
    curl_multi_remove_handle(multi.get(), easy.get());
    return code;
  }
};

HttpServer::HttpServer(std::vector<Address> addresses, int stop_descriptor, std::string token, Bounds bounds)
    : addresses_(std::move(addresses)),
      stop_descriptor_(stop_descriptor),
      token_(std::move(token)),
      bounds_(bounds),
      session_(std::make_unique<Session>()) {}

HttpServer::~HttpServer() = default;

template <class Attempt>
model::Result<Answer> HttpServer::first_that_connects(Attempt attempt) {
  if (!session_->easy)
    return model::Error{.kind = model::Error::Kind::local, .doing = "starting libcurl", .whom = "", .what = ""};
  std::string tried;
  for (std::size_t i = 0;; ++i) {
    CURLcode code = CURLE_OK;
    model::Result<Answer> answer = attempt(addresses_[i], code);
    if (code == CURLE_COULDNT_CONNECT && i + 1 < addresses_.size()) {
      tried += answer.error().text() + "; ";
      continue;
    }
    if (code != CURLE_COULDNT_CONNECT) addresses_ = {Address(addresses_[i])};
    if (!answer && !tried.empty()) answer.error().doing = tried + answer.error().doing;
    return answer;
  }
}

model::Result<Answer> HttpServer::get(const std::string& path) {
  return first_that_connects([&](const Address& address, CURLcode& code) {
    Transfer transfer(session_->easy.get(), bounds_.body);
    const HeaderList headers(token_);
    session_->prepare(address, path, bounds_, transfer);
    curl_easy_setopt(session_->easy.get(), CURLOPT_HTTPHEADER, headers.first);
    curl_easy_setopt(session_->easy.get(), CURLOPT_TIMEOUT_MS, bounds_.whole_ms);
    code = curl_easy_perform(session_->easy.get());
    return session_->outcome(code, address, transfer);
  });
}

model::Result<Answer> HttpServer::post(const std::string& path, const std::string& json) {
  return first_that_connects([&](const Address& address, CURLcode& code) {
    Transfer transfer(session_->easy.get(), bounds_.body);
    HeaderList headers(token_);
    session_->prepare(address, path, bounds_, transfer);
    CURL* curl = session_->easy.get();
    headers.add("Content-Type: application/json");
    headers.add("Expect:");  // the documents are short
    curl_easy_setopt(curl, CURLOPT_HTTPHEADER, headers.first);
    curl_easy_setopt(curl, CURLOPT_POSTFIELDSIZE_LARGE, static_cast<curl_off_t>(json.size()));
    curl_easy_setopt(curl, CURLOPT_POSTFIELDS, json.c_str());
    curl_easy_setopt(curl, CURLOPT_TIMEOUT_MS, bounds_.whole_ms);
    code = curl_easy_perform(curl);
    return session_->outcome(code, address, transfer);
  });
}

model::Result<Answer> HttpServer::follow(const std::string& path, const std::string& last_event_id,
                                         const std::function<bool(std::string_view)>& take) {
  return first_that_connects([&](const Address& address, CURLcode& code) {
    Transfer transfer(session_->easy.get(), bounds_.body);
    transfer.take = &take;
    HeaderList headers(token_);
    session_->prepare(address, path, bounds_, transfer);
    headers.add("Accept: text/event-stream");
    headers.add("Cache-Control: no-store");
    if (!last_event_id.empty()) headers.add("Last-Event-ID: " + last_event_id);
    curl_easy_setopt(session_->easy.get(), CURLOPT_HTTPHEADER, headers.first);
    curl_easy_setopt(session_->easy.get(), CURLOPT_TCP_KEEPALIVE, 1L);
    code = session_->perform_until(stop_descriptor_, bounds_.quiet_ms, transfer);
    return session_->outcome(code, address, transfer);
  });
}

std::string HttpServer::name() const {
  std::string names;
  for (const Address& each : addresses_) names += (names.empty() ? "" : " or ") + each.name();
  return names;
}

}  // namespace frisket::client
