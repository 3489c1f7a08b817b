#include "daemon/hooks/curl_loop.h"

#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/steady_timer.hpp>
#include <chrono>
#include <map>
#include <utility>

namespace frisket::hooks {
namespace {

namespace asio = boost::asio;
using Wait = asio::posix::stream_descriptor::wait_type;
using Code = boost::system::error_code;

// So many idle connections are kept for the next transfer.
constexpr long kMostIdle = 16;

// A socket of libcurl's that Asio waits for. The socket stays libcurl's: it is let go, never closed, here.
struct Watch {
  Watch(const asio::any_io_executor& executor, curl_socket_t socket) : descriptor(executor, socket) {}
  ~Watch() { descriptor.release(); }

  asio::posix::stream_descriptor descriptor;
  int wanted = 0;  // CURL_POLL_IN, CURL_POLL_OUT
  bool waits_in = false;
  bool waits_out = false;
  bool gone = false;
};
using WatchPointer = std::shared_ptr<Watch>;

void ensure_started() {
  static const CURLcode started = curl_global_init(CURL_GLOBAL_DEFAULT);
  static_cast<void>(started);  // a failure shows at each transfer
}

}  // namespace

struct CurlLoop::State : std::enable_shared_from_this<CurlLoop::State> {
  explicit State(asio::any_io_executor its_executor) : executor(std::move(its_executor)), timer(executor) {}
  ~State() { curl_multi_cleanup(multi); }

  void prepare();
  void watch(curl_socket_t socket, int what);
  void wait_for(const WatchPointer& one, curl_socket_t socket);
  void set_timer(long milliseconds);
  void act(curl_socket_t socket, int events);
  void collect();

  asio::any_io_executor executor;
  asio::steady_timer timer;
  CURLM* multi = nullptr;
  std::map<curl_socket_t, WatchPointer> watches;
  std::map<CURL*, Done> under_way;
  bool stopped = false;
};

namespace {

template <class State>
int socket_changed(CURL*, curl_socket_t socket, int what, void* user, void*) {
  static_cast<State*>(user)->watch(socket, what);
  return 0;
}

template <class State>
int timer_changed(CURLM*, long milliseconds, void* user) {
  static_cast<State*>(user)->set_timer(milliseconds);
  return 0;
}

}  // namespace

void CurlLoop::State::prepare() {
  if (multi != nullptr) return;
  ensure_started();
  multi = curl_multi_init();
  if (multi == nullptr) return;
  curl_multi_setopt(multi, CURLMOPT_SOCKETFUNCTION, socket_changed<State>);
  curl_multi_setopt(multi, CURLMOPT_SOCKETDATA, this);
  curl_multi_setopt(multi, CURLMOPT_TIMERFUNCTION, timer_changed<State>);
  curl_multi_setopt(multi, CURLMOPT_TIMERDATA, this);
  curl_multi_setopt(multi, CURLMOPT_MAXCONNECTS, kMostIdle);
}

// libcurl's wish about one socket. Called from within libcurl: nothing here may call it back.
void CurlLoop::State::watch(curl_socket_t socket, int what) {
  const auto found = watches.find(socket);
  if (what == CURL_POLL_REMOVE) {
    if (found == watches.end()) return;
    found->second->gone = true;
    found->second->descriptor.release();  // its waits end as cancelled
    watches.erase(found);
    return;
  }
  auto& one = watches[socket];
  if (!one) one = std::make_shared<Watch>(executor, socket);
  one->wanted = what;
  wait_for(one, socket);
}

void CurlLoop::State::wait_for(const WatchPointer& one, curl_socket_t socket) {
  const auto arm = [&](Wait kind, bool Watch::*waits, int wish, int event) {
    if ((one->wanted & wish) == 0 || std::exchange(one.get()->*waits, true)) return;
    one->descriptor.async_wait(kind, [self = shared_from_this(), one, socket, waits, wish, event](const Code& error) {
      one.get()->*waits = false;
      if (one->gone || self->stopped) return;
      if ((one->wanted & wish) != 0) self->act(socket, error ? CURL_CSELECT_ERR : event);
      if (!one->gone && !self->stopped) self->wait_for(one, socket);
    });
  };
  arm(Wait::wait_read, &Watch::waits_in, CURL_POLL_IN, CURL_CSELECT_IN);
  arm(Wait::wait_write, &Watch::waits_out, CURL_POLL_OUT, CURL_CSELECT_OUT);
}

void CurlLoop::State::set_timer(long milliseconds) {
  if (milliseconds < 0) {
    timer.cancel();
    return;
  }
  timer.expires_after(std::chrono::milliseconds(milliseconds));
  timer.async_wait([self = shared_from_this()](const Code& error) {
    if (!error && !self->stopped) self->act(CURL_SOCKET_TIMEOUT, 0);
  });
}

void CurlLoop::State::act(curl_socket_t socket, int events) {
  int running = 0;
  curl_multi_socket_action(multi, socket, events, &running);
  collect();
}

// Takes out what has ended, and says so.
void CurlLoop::State::collect() {
  int left = 0;
  while (const CURLMsg* message = curl_multi_info_read(multi, &left)) {
    if (message->msg != CURLMSG_DONE) continue;
    CURL* const easy = message->easy_handle;
    const CURLcode code = message->data.result;
    curl_multi_remove_handle(multi, easy);
    const auto entry = under_way.extract(easy);
    if (!entry.empty()) entry.mapped()(code);
    if (stopped) return;
  }
}

CurlLoop::CurlLoop(asio::any_io_executor executor) : state_(std::make_shared<State>(std::move(executor))) {}

CurlLoop::~CurlLoop() { stop(); }

void CurlLoop::start(CURL* easy, Done done) {
  if (state_->stopped) return;
  state_->prepare();
  state_->under_way[easy] = std::move(done);
  if (state_->multi != nullptr && curl_multi_add_handle(state_->multi, easy) == CURLM_OK) return;
  asio::post(state_->executor, [state = state_, easy] {
    const auto entry = state->under_way.extract(easy);
    if (!state->stopped && !entry.empty()) entry.mapped()(CURLE_FAILED_INIT);
  });
}

void CurlLoop::stop() {
  if (std::exchange(state_->stopped, true)) return;
  for (const auto& [easy, done] : state_->under_way) curl_multi_remove_handle(state_->multi, easy);
  curl_multi_cleanup(std::exchange(state_->multi, nullptr));
  for (const auto& [socket, one] : state_->watches) one->gone = true;
  state_->watches.clear();
  state_->timer.cancel();
  state_->under_way.clear();
}

}  // namespace frisket::hooks
