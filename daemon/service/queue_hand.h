// What can be done to one print queue, whichever protocol it is done in.
//
// On the io_context's thread.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <cstdint>
#include <memory>
#include <string>

#include "daemon/http/queue_acts.h"
#include "probes/clock/clock.h"
#include "probes/ipp/operations.h"
#include "probes/ipp/queue_probe.h"

namespace frisket::service {

// Every call ends in bounded time. Errors as ipp::Control has them.
class QueueHand {
 public:
  template <class T>
  using Awaitable = boost::asio::awaitable<T>;
  using Outcome = model::Result<model::Done>;

  virtual ~QueueHand() = default;

  virtual Awaitable<model::QueueReading> read() = 0;
  // Whether the queue has what the act needs.
  virtual Awaitable<model::Result<bool>> offers(http::QueueAct::What what) = 0;

  virtual Awaitable<Outcome> pause() = 0;
  virtual Awaitable<Outcome> resume() = 0;
  virtual Awaitable<Outcome> cancel(std::int32_t job) = 0;
  virtual Awaitable<Outcome> move(std::int32_t job, std::string to_uri) = 0;
};

// Over IPP. The transport and the clock must outlive it.
class IppQueueHand final : public QueueHand {
 public:
  IppQueueHand(ipp::Transport& transport, Clock& clock, std::string name, ipp::Target target)
      : probe_(transport, clock, std::move(name), std::move(target)) {}

  Awaitable<model::QueueReading> read() override { return probe_.poll(); }
  Awaitable<model::Result<bool>> offers(http::QueueAct::What what) override;
  Awaitable<Outcome> pause() override { return control_.pause(); }
  Awaitable<Outcome> resume() override { return control_.resume(); }
  Awaitable<Outcome> cancel(std::int32_t job) override { return control_.cancel(job); }
  Awaitable<Outcome> move(std::int32_t job, std::string to_uri) override {
    return control_.move(job, std::move(to_uri));
  }

 private:
  ipp::QueueProbe probe_;
  ipp::Control control_{probe_.client()};
};

}  // namespace frisket::service
