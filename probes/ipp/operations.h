// What can be asked of a queue or a spooler, and what can be done to it.
//
// Reading operations name the attributes they want: without a list some services answer with
// everything and others with next to nothing (RFC 8011 sections 4.2.5, 4.2.6). Whatever changes
// something goes through Control, which first looks whether the queue offers the operation.
#pragma once

#include <boost/asio/awaitable.hpp>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "probes/ipp/client.h"
#include "probes/model/queue.h"
#include "probes/model/result.h"

namespace frisket::ipp {

template <class T>
using Awaitable = boost::asio::awaitable<T>;

Awaitable<model::Result<Reply>> get_printer_attributes(Client& client, std::vector<std::string> attributes);

struct JobsWanted {
  std::string uri{};  // printer-uri; empty: the client's target
  bool completed = false;
  std::int32_t limit = 200;
};
// All jobs, not only those of the user who asks. With explicit attributes.
Awaitable<model::Result<Reply>> get_jobs(Client& client, JobsWanted wanted);

// One job by id. Fails with Kind::invalid if the queue does not know it (any more).
Awaitable<model::Result<model::Job>> get_job(Client& client, std::int32_t id);

// The queues of the spooler. A spooler without queues answers client-error-not-found.
Awaitable<model::Result<Reply>> get_queues(Client& client, std::vector<std::string> attributes);

struct Document {
  std::string job_name;
  std::string format;  // "application/pdf"
  std::string octets;
};

// Changes one queue. Short-lived: it remembers what the queue offers. Every call fails with
// Kind::invalid, and sends nothing, if the queue does not offer the operation; with Kind::refused for want
// of rights; otherwise as Client::ask(). Nothing is ever sent twice.
class Control {
 public:
  // The client must outlive it; its target is the queue.
  explicit Control(Client& client) : client_(client) {}

  Awaitable<model::Result<bool>> offers(Operation operation);

  Awaitable<model::Result<model::Done>> pause();  // jobs are still accepted
  Awaitable<model::Result<model::Done>> resume();
  Awaitable<model::Result<model::Done>> cancel(std::int32_t job, std::string message = {});
  Awaitable<model::Result<model::Done>> hold(std::int32_t job);
  Awaitable<model::Result<model::Done>> release(std::int32_t job);
  Awaitable<model::Result<model::Done>> cancel_all_of(std::vector<std::int32_t> jobs);  // in one operation
  Awaitable<model::Result<model::Done>> move(std::int32_t job, std::string to_uri);
  Awaitable<model::Result<std::int32_t>> print(Document document);  // the new job's id

 private:
  Awaitable<model::Result<Reply>> change(Operation operation, std::vector<Attribute> attributes,
                                         std::vector<Attribute> job_attributes, std::string document);
  Awaitable<model::Result<model::Done>> change_job(Operation operation, std::int32_t job);

  Client& client_;
  std::optional<std::vector<std::int32_t>> offered_;
};

// Events, fetched by asking (RFC 3995, RFC 3996).
struct Subscription {
  std::int32_t id = 0;
  model::Seconds lease{0};         // 0: without end
  std::int32_t next_sequence = 1;  // the lowest event not seen yet
};

struct Event {
  std::string what;  // notify-subscribed-event: "printer-state-changed"
  std::int32_t sequence = 0;
  std::string printer_name;  // match on this: the event's printer-uri may lack the port
  std::optional<std::int32_t> job_id;
  std::optional<model::JobState> job_state;
  std::optional<model::PrinterState> printer_state;
  std::vector<model::StateReason> printer_reasons;
};

struct Events {
  std::vector<Event> events;     // in order of sequence
  bool missed = false;           // a gap in the sequence: read everything again
  bool ended = false;            // the subscription is over (its lease, its job): make a new one
  model::Seconds ask_again{30};  // what the printer asks for; a hint
};

// Kind::invalid if the service offers no subscriptions or no ippget. An old subscription of a service
// that was restarted answers with no events for ever: an owner polls beside it.
Awaitable<model::Result<Subscription>> subscribe(Client& client, std::vector<std::string> events, model::Seconds lease);
// Takes what is new and moves the subscription on.
Awaitable<model::Result<Events>> fetch_events(Client& client, Subscription& subscription);
Awaitable<model::Result<model::Done>> renew(Client& client, Subscription& subscription, model::Seconds lease);
Awaitable<model::Result<model::Done>> unsubscribe(Client& client, Subscription subscription);

}  // namespace frisket::ipp
