#include "daemon/http/gate.h"

#include <spdlog/spdlog.h>

#include <nlohmann/json.hpp>
#include <utility>

namespace frisket::http {
namespace {

using model::AuditRecord;
using nlohmann::json;

// The body in one line, if it is an object; a route that knows better says so itself.
std::string detail_of(const std::string& body) {
  const auto parsed = json::parse(body, nullptr, false);
  return parsed.is_object() && !parsed.empty() ? parsed.dump() : std::string();
}

// Why it was not done, from the problem that says so.
std::string reason_of(const Response& response) {
  const auto problem = json::parse(response.body.text(), nullptr, false);
  if (!problem.is_object() || !problem.contains("detail") || !problem.at("detail").is_string()) return {};
  return problem.at("detail").get<std::string>();
}

AuditRecord begun(const Request& request, Act act) {
  AuditRecord record;
  record.at = request.now;
  record.what = std::move(act.what);
  record.target = std::move(act.target);
  record.detail = detail_of(request.body);
  return record;
}

void finish(AuditRecord& record, const Response& response) {
  if (response.audit_detail) record.detail = *response.audit_detail;
  if (response.status < 400) return;
  record.outcome = AuditRecord::Outcome::failed;
  record.reason = reason_of(response);
}

}  // namespace

bool Gate::set_tokens(Tokens tokens) {
  if (tokens == tokens_) return false;
  tokens_ = std::move(tokens);
  return true;
}

std::optional<Response> Gate::too_many(const Request& request, const std::string& path) {
  const auto wait = requests_.take(request.origin, request.now);
  if (wait == 0) return std::nullopt;
  auto response = problem(429, "too many requests from this address", path);
  response.fields.emplace_back("Retry-After", std::to_string(wait));
  return response;
}

Decision Gate::enter(const Request& request, config::Right needed) {
  auto decision = decide(request.origin, needed, request.authorization, tokens_);
  auto* refusal = std::get_if<Refusal>(&decision);
  if (refusal == nullptr) return decision;
  refusal->retry_after = limit_.refuse(request.origin, request.now);
  if (refusal->retry_after == 0) {
    spdlog::info("[access-refused] {} at {}: status {}, {}", refusal->who, request.origin.text(), refusal->status,
                 refusal->detail);
    return decision;
  }
  refusal->status = 429;
  refusal->detail = "too many refused requests from this address; " + refusal->detail;
  refusal->challenge.clear();
  return decision;
}

Response Gate::refused(const Refusal& refusal, const Request& request, const std::string& path,
                       const std::optional<Act>& act) {
  auto response = problem(refusal.status, refusal.detail, path);
  if (!refusal.challenge.empty()) response.fields.emplace_back("WWW-Authenticate", refusal.challenge);
  if (refusal.retry_after > 0) {
    response.fields.emplace_back("Retry-After", std::to_string(refusal.retry_after));
  } else if (act && trail_ != nullptr) {
    auto record = begun(request, *act);
    record.detail.clear();  // nobody's words
    record.who = refusal.who;
    record.peer = request.origin.text();
    record.outcome = AuditRecord::Outcome::refused;
    record.reason = refusal.detail;
    trail_->record(std::move(record), {});
  }
  return response;
}

Response Gate::recorded(Response response, const Access& access, const Request& request, Act act) {
  if (trail_ == nullptr) return response;
  auto record = begun(request, std::move(act));
  record.who = access.who;
  record.peer = access.peer;
  if (!response.later) {
    finish(record, response);
    trail_->record(std::move(record), {});
    return response;
  }
  response.later = [trail = trail_, record = std::move(record),
                    later = std::move(response.later)](std::function<void(Response)> answer) {
    later([trail, record, answer = std::move(answer)](Response given) mutable {
      finish(record, given);
      trail->record(std::move(record), [answer, given = std::move(given)] { answer(given); });
    });
  };
  return response;
}

}  // namespace frisket::http
