#include "probes/snmp/gate.h"

#include <algorithm>
#include <boost/asio/as_tuple.hpp>
#include <boost/asio/error.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/system/system_error.hpp>
#include <utility>

namespace frisket::snmp {

namespace asio = boost::asio;

asio::awaitable<Gate::Pass> Gate::enter() {
  if (free_ > 0) {
    --free_;
    co_return Pass(*this);
  }
  asio::steady_timer bell(executor_, asio::steady_timer::time_point::max());
  line_.push_back(&bell);
  // Out of line, whatever ended the wait; with the place, if it was given already and is not taken.
  struct Leave {
    Gate& gate;
    asio::steady_timer* bell;
    ~Leave() {
      if (bell == nullptr) return;
      const auto place = std::ranges::find(gate.line_, bell);
      if (place != gate.line_.end())
        gate.line_.erase(place);
      else
        gate.leave();
    }
  } leave{*this, &bell};
  co_await bell.async_wait(asio::as_tuple(asio::use_awaitable));
  const auto cancelled = (co_await asio::this_coro::cancellation_state).cancelled();
  if (cancelled != asio::cancellation_type::none) throw boost::system::system_error(asio::error::operation_aborted);
  leave.bell = nullptr;
  co_return Pass(*this);
}

void Gate::leave() {
  if (line_.empty()) {
    ++free_;
    return;
  }
  auto* next = line_.front();
  line_.pop_front();
  next->cancel();
}

}  // namespace frisket::snmp
