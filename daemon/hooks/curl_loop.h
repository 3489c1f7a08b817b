// libcurl's transfers, driven by the io_context: nothing blocks while a receiver is slow.
//
// libcurl says which sockets it waits for and until when; Asio waits for them. Names are resolved on a
// thread of libcurl's own. On the io_context's thread.
#pragma once

#include <curl/curl.h>

#include <boost/asio/any_io_executor.hpp>
#include <functional>
#include <memory>

namespace frisket::hooks {

class CurlLoop {
 public:
  using Done = std::function<void(CURLcode)>;

  explicit CurlLoop(boost::asio::any_io_executor executor);
  ~CurlLoop();
  CurlLoop(const CurlLoop&) = delete;
  CurlLoop& operator=(const CurlLoop&) = delete;

  // Performs what the handle is set to. `done` is called once, later, from the io_context, unless stop() came
  // first; the handle must live until then, and may be cleaned up in it.
  void start(CURL* easy, Done done);

  // Ends every transfer at once; their handles may be cleaned up afterwards. No `done` is called.
  void stop();

 private:
  struct State;
  std::shared_ptr<State> state_;  // shared with what waits in Asio
};

}  // namespace frisket::hooks
