#include <algorithm>
#include <utility>

#include "probes/ipp/operations.h"
#include "probes/ipp/state_reasons.h"

// RFC 3995 (subscriptions) and RFC 3996 (ippget, the pull method).
namespace frisket::ipp {
namespace {

using Kind = model::Error::Kind;

constexpr std::size_t kMaxEvents = 1000;

Attribute lease_attribute(model::Seconds lease) {
  constexpr std::int64_t kMax = 67'108'863;  // RFC 3995 section 5.3.8
  const auto seconds = std::clamp<std::int64_t>(lease.count(), 0, kMax);
  return integer_attribute("notify-lease-duration", static_cast<std::int32_t>(seconds));
}

model::Error failed(const Client& client, const Reply& reply, Operation operation) {
  return error_of(reply, std::string(to_text(operation)), client.target().uri);
}

Event event_from(const Group& group) {
  Event event;
  event.what = group.text("notify-subscribed-event");
  event.sequence = group.integer("notify-sequence-number").value_or(0);
  event.printer_name = group.text("printer-name");
  event.job_id = group.integer("notify-job-id");
  if (!event.job_id) event.job_id = group.integer("job-id");
  if (const auto state = group.integer("job-state")) event.job_state = static_cast<model::JobState>(*state);
  if (const auto state = group.integer("printer-state")) event.printer_state = static_cast<model::PrinterState>(*state);
  event.printer_reasons = state_reasons_of(group.find("printer-state-reasons"));
  return event;
}

std::int32_t after(std::int32_t sequence) { return sequence == INT32_MAX ? 0 : sequence + 1; }

}  // namespace

Awaitable<model::Result<Subscription>> subscribe(Client& client, std::vector<std::string> events,
                                                 model::Seconds lease) {
  auto request = client.request(Operation::create_printer_subscriptions);
  Group wanted{GroupTag::subscription, {}};
  wanted.attributes.push_back(keywords("notify-pull-method", {"ippget"}));
  wanted.attributes.push_back(keywords("notify-events", std::move(events)));
  wanted.attributes.push_back(lease_attribute(lease));
  request.groups.push_back(std::move(wanted));
  auto reply = co_await client.ask(std::move(request), Repeat::never);
  if (!reply) co_return reply.error();
  if (!reply->ok()) co_return failed(client, *reply, Operation::create_printer_subscriptions);
  const auto* group = reply->message.first(GroupTag::subscription);
  const auto id = group != nullptr ? group->integer("notify-subscription-id") : std::nullopt;
  if (!id)
    co_return model::Error{Kind::invalid, "Create-Printer-Subscriptions", client.target().uri,
                           "it made no subscription"};
  Subscription subscription;
  subscription.id = *id;
  subscription.lease =
      group->integer("notify-lease-duration") ? model::Seconds(*group->integer("notify-lease-duration")) : lease;
  co_return subscription;
}

Awaitable<model::Result<Events>> fetch_events(Client& client, Subscription& subscription) {
  auto request = client.request(Operation::get_notifications);
  auto& attributes = request.groups[0].attributes;
  attributes.push_back(integer_attribute("notify-subscription-ids", subscription.id));
  attributes.push_back(integer_attribute("notify-sequence-numbers", subscription.next_sequence));
  attributes.push_back(boolean_attribute("notify-wait", false));
  auto reply = co_await client.ask(std::move(request), Repeat::harmless);
  if (!reply) co_return reply.error();
  Events out;
  if (reply->absent()) {
    out.ended = true;
    co_return out;
  }
  if (!reply->ok()) co_return failed(client, *reply, Operation::get_notifications);
  out.ended = reply->message.code == status::ok_events_complete;
  if (const auto* operation = reply->message.first(GroupTag::operation))
    if (const auto interval = operation->integer("notify-get-interval"))
      out.ask_again = model::Seconds(std::clamp(*interval, 1, 3600));
  for (const auto* group : reply->message.all(GroupTag::event_notification)) {
    if (out.events.size() >= kMaxEvents) {
      out.missed = true;
      break;
    }
    auto event = event_from(*group);
    if (event.sequence < subscription.next_sequence) continue;  // seen before
    out.events.push_back(std::move(event));
  }
  std::ranges::stable_sort(out.events, {}, &Event::sequence);
  for (const auto& event : out.events) {
    out.missed = out.missed || event.sequence != subscription.next_sequence;
    subscription.next_sequence = after(event.sequence);
  }
  co_return out;
}

Awaitable<model::Result<model::Done>> renew(Client& client, Subscription& subscription, model::Seconds lease) {
  auto request = client.request(Operation::renew_subscription);
  request.groups[0].attributes.push_back(integer_attribute("notify-subscription-id", subscription.id));
  request.groups[0].attributes.push_back(lease_attribute(lease));
  auto reply = co_await client.ask(std::move(request), Repeat::harmless);
  if (!reply) co_return reply.error();
  if (!reply->ok()) co_return failed(client, *reply, Operation::renew_subscription);
  subscription.lease = lease;
  if (const auto* group = reply->message.first(GroupTag::subscription))
    if (const auto given = group->integer("notify-lease-duration")) subscription.lease = model::Seconds(*given);
  co_return model::Done{};
}

Awaitable<model::Result<model::Done>> unsubscribe(Client& client, Subscription subscription) {
  auto request = client.request(Operation::cancel_subscription);
  request.groups[0].attributes.push_back(integer_attribute("notify-subscription-id", subscription.id));
  auto reply = co_await client.ask(std::move(request), Repeat::harmless);
  if (!reply) co_return reply.error();
  if (!reply->ok() && !reply->absent()) co_return failed(client, *reply, Operation::cancel_subscription);
  co_return model::Done{};
}

}  // namespace frisket::ipp
