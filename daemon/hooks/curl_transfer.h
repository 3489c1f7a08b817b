// One transfer of libcurl's, with everything that has to live as long as it: what a webhook needs of it.
//
// A receiver is hostile as a device is: of what it says a short, clean text is kept, and no proxy, redirect or
// other protocol is followed. On the io_context's thread.
#pragma once

#include <curl/curl.h>

#include <array>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <string>

#include "daemon/hooks/curl_loop.h"
#include "daemon/hooks/transport.h"

namespace frisket::hooks {

class CurlTransfer {
 public:
  CurlTransfer();
  ~CurlTransfer();
  CurlTransfer(const CurlTransfer&) = delete;
  CurlTransfer& operator=(const CurlTransfer&) = delete;

  // By HTTP or HTTPS. An empty ca_file means the machine's authorities.
  void prepare(const std::string& url, std::chrono::seconds time_limit, const std::filesystem::path& ca_file);
  void add_header(const std::string& line);
  CURL* easy() const { return easy_; }

  long status() const;
  // Why it failed: libcurl's words, cleaned.
  std::string words(CURLcode code) const;
  // What a failure below the protocol means; `done` and `refused` are for the protocol to say.
  Reply failure(CURLcode code) const;

  std::string sent;       // the body; the transfer reads it in place
  std::string heard;      // the first bytes of what the receiver says
  bool too_much = false;  // it said more than anybody wants to hear

 private:
  CURL* easy_;
  curl_slist* headers_ = nullptr;
  std::array<char, CURL_ERROR_SIZE> words_{};
};

// The transfers under way of one transport.
class CurlTransfers {
 public:
  using Ended = std::function<void(CurlTransfer&, CURLcode)>;

  explicit CurlTransfers(std::shared_ptr<CurlLoop> loop) : loop_(std::move(loop)) {}

  // `ended` is called once, later, unless stop() came first.
  void start(std::unique_ptr<CurlTransfer> transfer, Ended ended);
  void stop();

 private:
  std::shared_ptr<CurlLoop> loop_;
  std::shared_ptr<std::map<std::uint64_t, std::unique_ptr<CurlTransfer>>> under_way_ =
      std::make_shared<std::map<std::uint64_t, std::unique_ptr<CurlTransfer>>>();
  std::uint64_t next_ = 0;
};

}  // namespace frisket::hooks
