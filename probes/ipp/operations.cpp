#include "probes/ipp/operations.h"

#include <algorithm>
#include <utility>

#include "probes/ipp/queue_decode.h"

namespace frisket::ipp {
namespace {

using Kind = model::Error::Kind;

model::Error failed(const Client& client, const Reply& reply, Operation operation) {
  return error_of(reply, std::string(to_text(operation)), client.target().uri);
}

}  // namespace

Awaitable<model::Result<Reply>> get_printer_attributes(Client& client, std::vector<std::string> attributes) {
  auto request = client.request(Operation::get_printer_attributes);
  request.groups[0].attributes.push_back(keywords("requested-attributes", std::move(attributes)));
  co_return co_await client.ask(std::move(request), Repeat::harmless);
}

Awaitable<model::Result<Reply>> get_jobs(Client& client, JobsWanted wanted) {
  auto request = client.request(Operation::get_jobs, wanted.uri);
  auto& attributes = request.groups[0].attributes;
  attributes.push_back(integer_attribute("limit", wanted.limit));
  attributes.push_back(keywords("requested-attributes", job_attributes()));
  attributes.push_back(keywords("which-jobs", {wanted.completed ? "completed" : "not-completed"}));
  attributes.push_back(boolean_attribute("my-jobs", false));
  co_return co_await client.ask(std::move(request), Repeat::harmless);
}

Awaitable<model::Result<model::Job>> get_job(Client& client, std::int32_t id) {
  auto request = client.request(Operation::get_job_attributes);
  auto& attributes = request.groups[0].attributes;
  attributes.insert(attributes.begin() + 3, integer_attribute("job-id", id));  // completes the target
  attributes.push_back(keywords("requested-attributes", job_attributes()));
  auto reply = co_await client.ask(std::move(request), Repeat::harmless);
  if (!reply) co_return reply.error();
  if (!reply->ok()) co_return failed(client, *reply, Operation::get_job_attributes);
  const auto* group = reply->message.first(GroupTag::job);
  auto job = group != nullptr ? job_from(*group, std::nullopt) : std::nullopt;
  if (!job || job->id != id)
    co_return model::Error{Kind::nonsense, "Get-Job-Attributes", client.target().uri,
                           "its answer is not about the job"};
  co_return std::move(*job);
}

Awaitable<model::Result<Reply>> get_queues(Client& client, std::vector<std::string> attributes) {
  auto request = client.request(Operation::spooler_get_queues);
  request.groups[0].attributes.push_back(keywords("requested-attributes", std::move(attributes)));
  co_return co_await client.ask(std::move(request), Repeat::harmless);
}

Awaitable<model::Result<bool>> Control::offers(Operation operation) {
  if (!offered_) {
    std::vector<std::string> wanted{"operations-supported"};
    auto reply = co_await get_printer_attributes(client_, std::move(wanted));
    if (!reply) co_return reply.error();
    if (!reply->ok()) co_return failed(client_, *reply, Operation::get_printer_attributes);
    const auto* printer = reply->message.first(GroupTag::printer);
    const auto* offered = printer != nullptr ? printer->find("operations-supported") : nullptr;
    offered_ = offered != nullptr ? offered->integers() : std::vector<std::int32_t>{};
  }
  co_return std::ranges::find(*offered_, static_cast<std::int32_t>(operation)) != offered_->end();
}

Awaitable<model::Result<Reply>> Control::change(Operation operation, std::vector<Attribute> attributes,
                                                std::vector<Attribute> job_attributes, std::string document) {
  auto offered = co_await offers(operation);
  if (!offered) co_return offered.error();
  if (!*offered)
    co_return model::Error{Kind::invalid, std::string(to_text(operation)), client_.target().uri,
                           "the queue does not offer this operation"};
  auto request = client_.request(operation);
  auto& first = request.groups[0].attributes;
  // job-id belongs to the target and stands right behind printer-uri.
  for (auto& attribute : attributes) {
    const auto at = attribute.name == "job-id" ? first.begin() + 3 : first.end();
    first.insert(at, std::move(attribute));
  }
  if (!job_attributes.empty()) request.groups.push_back({GroupTag::job, std::move(job_attributes)});
  auto reply = co_await client_.ask(std::move(request), Repeat::never, std::move(document));
  if (!reply) co_return reply.error();
  if (!reply->ok()) co_return failed(client_, *reply, operation);
  co_return std::move(*reply);
}

Awaitable<model::Result<model::Done>> Control::change_job(Operation operation, std::int32_t job) {
  std::vector<Attribute> attributes;
  attributes.push_back(integer_attribute("job-id", job));
  auto reply = co_await change(operation, std::move(attributes), {}, {});
  if (!reply) co_return reply.error();
  co_return model::Done{};
}

Awaitable<model::Result<model::Done>> Control::pause() {
  auto reply = co_await change(Operation::pause_printer, {}, {}, {});
  if (!reply) co_return reply.error();
  co_return model::Done{};
}

Awaitable<model::Result<model::Done>> Control::resume() {
  auto reply = co_await change(Operation::resume_printer, {}, {}, {});
  if (!reply) co_return reply.error();
  co_return model::Done{};
}

Awaitable<model::Result<model::Done>> Control::cancel(std::int32_t job, std::string message) {
  std::vector<Attribute> attributes;
  attributes.push_back(integer_attribute("job-id", job));
  if (!message.empty()) attributes.push_back(text_attribute("message", ValueTag::text, message.substr(0, 127)));
  auto reply = co_await change(Operation::cancel_job, std::move(attributes), {}, {});
  if (!reply) co_return reply.error();
  co_return model::Done{};
}

Awaitable<model::Result<model::Done>> Control::hold(std::int32_t job) { return change_job(Operation::hold_job, job); }

Awaitable<model::Result<model::Done>> Control::release(std::int32_t job) {
  return change_job(Operation::release_job, job);
}

Awaitable<model::Result<model::Done>> Control::cancel_all_of(std::vector<std::int32_t> jobs) {
  // Without a list the operation would mean every job.
  if (jobs.empty()) co_return model::Done{};
  std::vector<Attribute> attributes;
  Attribute ids{"job-ids", ValueTag::integer, {}};
  for (const auto job : jobs) ids.values.emplace_back(job);
  attributes.push_back(std::move(ids));
  auto reply = co_await change(Operation::cancel_jobs, std::move(attributes), {}, {});
  if (!reply) co_return reply.error();
  co_return model::Done{};
}

Awaitable<model::Result<model::Done>> Control::move(std::int32_t job, std::string to_uri) {
  std::vector<Attribute> attributes;
  attributes.push_back(integer_attribute("job-id", job));
  std::vector<Attribute> where;
  where.push_back(text_attribute("job-printer-uri", ValueTag::uri, to_uri));
  auto reply = co_await change(Operation::spooler_move_job, std::move(attributes), std::move(where), {});
  if (!reply) co_return reply.error();
  co_return model::Done{};
}

Awaitable<model::Result<std::int32_t>> Control::print(Document document) {
  std::vector<Attribute> attributes;
  attributes.push_back(text_attribute("job-name", ValueTag::name, document.job_name));
  attributes.push_back(text_attribute("document-format", ValueTag::mime_media_type, document.format));
  auto reply = co_await change(Operation::print_job, std::move(attributes), {}, std::move(document.octets));
  if (!reply) co_return reply.error();
  const auto* job = reply->message.first(GroupTag::job);
  const auto id = job != nullptr ? job->integer("job-id") : std::nullopt;
  if (!id) co_return model::Error{Kind::nonsense, "Print-Job", client_.target().uri, "its answer has no job-id"};
  co_return *id;
}

}  // namespace frisket::ipp
