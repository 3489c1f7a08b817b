#include "probes/ipp/operations.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "peer.h"
#include "probes/ipp/codec.h"
#include "probes/ipp/device_probe.h"
#include "probes/ipp/queue_decode.h"
#include "probes/ipp/queue_probe.h"
#include "simulated_clock.h"

namespace frisket::ipp {
namespace {

using model::Error;
using model::QueueReach;
using testing::Behaviour;
using testing::http_answer;
using testing::Peer;
using testing::Pending;
using testing::SimulatedClock;

// An answer to the request with that id.
std::string answer(std::int16_t code, std::int32_t request_id, std::vector<Group> more = {}, int major = 2,
                   int minor = 0) {
  Message message;
  message.major = static_cast<std::uint8_t>(major);
  message.minor = static_cast<std::uint8_t>(minor);
  message.code = code;
  message.request_id = request_id;
  message.groups.push_back({GroupTag::operation,
                            {text_attribute("attributes-charset", ValueTag::charset, "utf-8"),
                             text_attribute("attributes-natural-language", ValueTag::natural_language, "en")}});
  for (auto& group : more) message.groups.push_back(std::move(group));
  auto octets = encode(message);
  REQUIRE(octets);
  return http_answer(*octets);
}

Group offering(std::vector<std::int32_t> operations) {
  Attribute attribute{"operations-supported", ValueTag::enumeration, {}};
  for (const auto operation : operations) attribute.values.emplace_back(operation);
  return {GroupTag::printer, {attribute}};
}

struct Fixture {
  explicit Fixture(std::function<std::string(const Message&)> respond)
      : peer(context,
             [this, respond](int, int) {
               auto decoded = decode(peer.requests.back().body());
               asked.push_back(decoded ? decoded->message : Message{});
               return Behaviour{{respond(asked.back())}};
             }),
        client(transport, *target_of(peer.uri())) {}

  template <class T>
  T run(boost::asio::awaitable<T> work) {
    Pending<T> pending(context, std::move(work));
    return pending.get();
  }
  std::size_t asked_for(Operation operation) const {
    return static_cast<std::size_t>(std::ranges::count(asked, static_cast<std::int16_t>(operation), &Message::code));
  }

  boost::asio::io_context context;
  SimulatedClock clock{context};
  std::vector<Message> asked;
  Peer peer;
  Transport transport{context.get_executor(), clock};
  Client client;
};

}  // namespace

// RFC 8011 section 4.1.4: charset, language, target, in this order and first.
TEST_CASE("every request begins with charset, language and target") {
  Fixture f([](const Message& request) { return answer(0, request.request_id); });
  REQUIRE(f.run(get_printer_attributes(f.client, {"printer-state"})));
  REQUIRE(f.run(get_jobs(f.client, {})));
  REQUIRE(f.asked.size() == 2);
  for (const auto& request : f.asked) {
    const auto& first = request.groups.at(0).attributes;
    CHECK(first.at(0).name == "attributes-charset");
    CHECK(first.at(1).name == "attributes-natural-language");
    CHECK(first.at(2).name == "printer-uri");
    CHECK(first.at(2).text() == f.peer.uri());
  }
  CHECK(f.asked[0].groups[0].texts("requested-attributes") == std::vector<std::string>{"printer-state"});
  CHECK(f.asked[1].groups[0].text("which-jobs") == "not-completed");
  CHECK(f.asked[1].groups[0].texts("requested-attributes") == job_attributes());
  CHECK(f.asked[1].request_id == f.asked[0].request_id + 1);
}

// RFC 8011 section 4.1.8.
TEST_CASE("a peer that has only an older version is asked in that, once and from then on") {
  Fixture f([](const Message& request) {
    const bool old = request.major == 1 && request.minor == 1;
    return answer(old ? status::ok : status::version_not_supported, request.request_id, {}, 1, 1);
  });
  REQUIRE(f.run(get_printer_attributes(f.client, {"printer-state"}))->ok());
  REQUIRE(f.run(get_printer_attributes(f.client, {"printer-state"}))->ok());
  CHECK(f.asked.size() == 3);
}

TEST_CASE("a peer that refuses every version is not asked for ever") {
  Fixture f([](const Message& request) {
    return answer(status::version_not_supported, request.request_id, {}, 1, request.minor == 1 ? 0 : 1);
  });
  auto reply = f.run(get_printer_attributes(f.client, {"printer-state"}));
  REQUIRE(reply);
  CHECK_FALSE(reply->ok());
  CHECK(f.asked.size() == 2);
}

TEST_CASE("an answer to another request, or one that is no IPP message, is nonsense") {
  Fixture other([](const Message& request) { return answer(0, request.request_id + 1); });
  auto reply = other.run(get_printer_attributes(other.client, {"printer-state"}));
  REQUIRE_FALSE(reply);
  CHECK(reply.error().kind == Error::Kind::nonsense);
  Fixture broken([](const Message&) { return http_answer("not a message"); });
  reply = broken.run(get_printer_attributes(broken.client, {"printer-state"}));
  REQUIRE_FALSE(reply);
  CHECK(reply.error().kind == Error::Kind::nonsense);
}

TEST_CASE("what the queue does not offer is not sent to it") {
  Fixture f([](const Message& request) { return answer(0, request.request_id, {offering({0x0002, 0x0008})}); });
  Control control(f.client);
  auto paused = f.run(control.pause());
  REQUIRE_FALSE(paused);
  CHECK(paused.error().kind == Error::Kind::invalid);
  CHECK(f.asked_for(Operation::pause_printer) == 0);
  CHECK_FALSE(f.run(control.move(7, "ipp://localhost/printers/moss")));
  CHECK(f.asked.size() == 1);
  REQUIRE(f.run(control.cancel(7, "stuck")));
  REQUIRE(f.asked_for(Operation::cancel_job) == 1);
  const auto& first = f.asked.back().groups[0].attributes;
  CHECK(first.at(3).name == "job-id");
  CHECK(first.at(3).integer() == 7);
  CHECK(f.asked.back().groups[0].text("message") == "stuck");
}

TEST_CASE("cancelling a list names the jobs, and cancelling an empty list asks for nothing") {
  Fixture f([](const Message& request) { return answer(0, request.request_id, {offering({0x0038})}); });
  Control control(f.client);
  REQUIRE(f.run(control.cancel_all_of({})));
  CHECK(f.asked.empty());
  REQUIRE(f.run(control.cancel_all_of({3, 5})));
  CHECK(f.asked.back().groups[0].find("job-ids")->integers() == std::vector<std::int32_t>{3, 5});
}

TEST_CASE("a refusal says why, and of which kind it is") {
  const std::vector<std::pair<std::int16_t, Error::Kind>> codes = {{status::not_authorized, Error::Kind::refused},
                                                                   {status::forbidden, Error::Kind::refused},
                                                                   {status::busy, Error::Kind::silent},
                                                                   {status::not_possible, Error::Kind::invalid}};
  for (const auto& [code, kind] : codes) {
    Fixture f([code = code](const Message& request) {
      const bool read = request.code == static_cast<std::int16_t>(Operation::get_printer_attributes);
      return answer(read ? status::ok : code, request.request_id, {offering({0x0010})});
    });
    Control control(f.client);
    auto paused = f.run(control.pause());
    REQUIRE_FALSE(paused);
    CHECK(paused.error().kind == kind);
    CHECK(paused.error().what == status_text(code));
    CHECK(f.asked_for(Operation::pause_printer) == 1);
  }
}

TEST_CASE("a printed document follows the message, and the job's id comes back") {
  Fixture f([](const Message& request) {
    return answer(0, request.request_id, {offering({0x0002}), {GroupTag::job, {integer_attribute("job-id", 12)}}});
  });
  Control control(f.client);
  auto id = f.run(control.print({"Frisket test page", "application/pdf", "%PDF-1.4 and so on"}));
  REQUIRE(id);
  CHECK(*id == 12);
  const auto& body = f.peer.requests.back().body();
  CHECK(body.substr(decode(body)->octets) == "%PDF-1.4 and so on");
  CHECK(f.asked.back().groups[0].text("document-format") == "application/pdf");
}

TEST_CASE("events come once and in order, and a gap in their numbers is said") {
  std::vector<std::int32_t> numbers;
  Fixture f([&numbers](const Message& request) {
    if (request.code == static_cast<std::int16_t>(Operation::create_printer_subscriptions))
      return answer(
          0, request.request_id,
          {{GroupTag::subscription,
            {integer_attribute("notify-subscription-id", 4), integer_attribute("notify-lease-duration", 600)}}});
    std::vector<Group> events;
    for (const auto number : numbers)
      events.push_back({GroupTag::event_notification,
                        {integer_attribute("notify-sequence-number", number),
                         keywords("notify-subscribed-event", {"printer-state-changed"}),
                         text_attribute("printer-name", ValueTag::name, "fern"),
                         integer_attribute("printer-state", 5, ValueTag::enumeration)}});
    return answer(0, request.request_id, std::move(events));
  });
  auto subscription = f.run(subscribe(f.client, {"printer-state-changed"}, model::Seconds(3600)));
  REQUIRE(subscription);
  CHECK(subscription->id == 4);
  CHECK(subscription->lease == model::Seconds(600));
  numbers = {2, 1};
  auto events = f.run(fetch_events(f.client, *subscription));
  REQUIRE(events);
  REQUIRE(events->events.size() == 2);
  CHECK(events->events[0].sequence == 1);
  CHECK(events->events[0].printer_name == "fern");
  CHECK(events->events[0].printer_state == model::PrinterState::stopped);
  CHECK_FALSE(events->missed);
  numbers = {2, 3};  // the last one again
  events = f.run(fetch_events(f.client, *subscription));
  CHECK(events->events.size() == 1);
  CHECK_FALSE(events->missed);
  numbers = {6};
  events = f.run(fetch_events(f.client, *subscription));
  CHECK(events->missed);
  CHECK(subscription->next_sequence == 7);
  CHECK(f.asked.back().groups[0].integer("notify-sequence-numbers") == 4);
}

TEST_CASE("a spooler without queues answers, and is well") {
  Fixture f([](const Message& request) { return answer(status::not_found, request.request_id); });
  SpoolerProbe probe(f.transport, f.clock, "office", *target_of(f.peer.uri()));
  const auto reading = f.run(probe.poll());
  CHECK(reading.reach == QueueReach::answered);
  CHECK(reading.queues.empty());
  CHECK(f.peer.requests.at(0).target() == "/");
}

TEST_CASE("a queue that the spooler does not have is absent") {
  Fixture ipp([](const Message& request) { return answer(status::not_found, request.request_id); });
  QueueProbe gone(ipp.transport, ipp.clock, "fern", *target_of(ipp.peer.uri()));
  CHECK(ipp.run(gone.poll()).reach == QueueReach::absent);
  Fixture http([](const Message&) { return std::string("HTTP/1.1 404 Not Found\r\nContent-Length: 0\r\n\r\n"); });
  QueueProbe wrong(http.transport, http.clock, "fern", *target_of(http.peer.uri()));
  const auto reading = http.run(wrong.poll());
  CHECK(reading.reach == QueueReach::absent);
  CHECK(reading.snapshot == nullptr);
}

TEST_CASE("HTTP's refusals have their own words") {
  const std::vector<std::tuple<int, QueueReach, std::string>> cases = {
      {401, QueueReach::refused, "HTTP 401: it wants a user and a password"},
      {403, QueueReach::refused, "HTTP 403: it forbids this"},
      {426, QueueReach::refused, "HTTP 426: it wants TLS (ipps)"},
      {503, QueueReach::silent, "HTTP 503: it is unavailable for now"},
      {302, QueueReach::nonsense, "HTTP 302: no IPP answer"}};
  for (const auto& [code, reach, words] : cases) {
    Fixture f([code = code](const Message&) {
      return "HTTP/1.1 " + std::to_string(code) + " x\r\nContent-Length: 0\r\n\r\n";
    });
    QueueProbe probe(f.transport, f.clock, "fern", *target_of(f.peer.uri()));
    const auto reading = f.run(probe.poll());
    CHECK(reading.reach == reach);
    CHECK(reading.detail == "Get-Printer-Attributes of " + f.peer.uri() + ": " + words);
  }
}

TEST_CASE("a queue that will not list its jobs is still a queue, with a gap") {
  Fixture f([](const Message& request) {
    if (request.code == static_cast<std::int16_t>(Operation::get_jobs))
      return answer(status::not_authorized, request.request_id);
    return answer(0, request.request_id,
                  {{GroupTag::printer, {integer_attribute("printer-state", 3, ValueTag::enumeration)}}});
  });
  QueueProbe probe(f.transport, f.clock, "fern", *target_of(f.peer.uri()));
  const auto reading = f.run(probe.poll());
  REQUIRE(reading.reach == QueueReach::answered);
  CHECK_FALSE(reading.snapshot->jobs_known);
  CHECK(reading.snapshot->gaps.size() == 1);
}

TEST_CASE("a printer that answers without a printer's attributes is nonsense") {
  Fixture f([](const Message& request) { return answer(0, request.request_id); });
  DeviceProbe probe(f.transport, f.clock, "loganberry", *target_of(f.peer.uri()));
  const auto reading = f.run(probe.poll());
  CHECK(reading.reach == model::Reach::nonsense);
  CHECK(reading.at == f.clock.wall_now());
}

}  // namespace frisket::ipp
