#include "daemon/http/upkeep_bodies.h"

#include <algorithm>
#include <array>

#include "daemon/http/body_members.h"

namespace frisket::http {
namespace {

using model::Result;
using nlohmann::json;

constexpr int kMostPieces = 100'000;
constexpr std::size_t kLongestPart = 64;
constexpr std::array kStockActs = {StockAct::What::set, StockAct::What::order, StockAct::What::receive,
                                   StockAct::What::use};

Result<std::string> needed_text(const json& body, const char* name) {
  auto text = text_in(body, name);
  if (text && text->empty()) return wrong_body(std::string(name) + " is missing");
  return text;
}

// Nothing where there is none or it is null.
Result<std::optional<int>> pieces_in(const json& body, const char* name) {
  const auto found = body.find(name);
  if (found == body.end() || found->is_null()) return std::optional<int>();
  if (!found->is_number_unsigned() || found->get<std::uint64_t>() > kMostPieces)
    return wrong_body(std::string(name) + " must be a whole number from 0 to " + std::to_string(kMostPieces));
  return std::optional(found->get<int>());
}

template <class List, class Key>
std::string keys_of(const List& list, Key key) {
  std::string keys;
  for (const auto& item : list) keys.append(keys.empty() ? "" : ", ").append(item.*key);
  return keys;
}

// {"repeats": true}: only observations that the table has.
Result<upkeep::Known> known_in(const json& body, const upkeep::ComplaintTable& table) {
  upkeep::Known known;
  const auto found = body.find("known");
  if (found == body.end() || found->is_null()) return known;
  if (!found->is_object()) return wrong_body("known must be an object of observations, each true or false");
  for (const auto& [observation, so] : found->items()) {
    if (table.observation(observation) == nullptr)
      return wrong_body("known has an observation that there is none of; allowed: " +
                        keys_of(table.observations, &upkeep::Observation::key));
    if (!so.is_boolean()) return wrong_body("known: each observation must be true or false");
    known[observation] = so.get<bool>();
  }
  return known;
}

// `by` and `note`, both of which may be missing.
model::Result<model::Done> read_saying(const json& body, std::string& by, std::string& note) {
  auto who = text_in(body, "by");
  if (!who) return who.error();
  auto said = text_in(body, "note");
  if (!said) return said.error();
  by = std::move(*who);
  note = std::move(*said);
  return model::Done{};
}

Result<model::WallTime> instant_in(const json& body, model::WallTime now) {
  const auto text = text_in(body, "at");
  if (!text) return text.error();
  if (text->empty()) return now;
  const auto at = model::from_rfc3339(*text);
  if (!at) return wrong_body("at must be a time such as 2026-11-25T08:00:00Z");
  if (*at > now) return wrong_body("at is still to come");
  return *at;
}

}  // namespace

std::string_view to_text(StockAct::What what) {
  constexpr std::array<std::string_view, 4> kNames{"set", "order", "receive", "use"};
  return kNames.at(static_cast<std::size_t>(what));
}

Result<StockAct> stock_act_from(const Request& request) {
  const auto body = body_of(request, {"part", "act", "count", "on_order", "by", "note"});
  if (!body) return body.error();
  StockAct act;
  auto part = needed_text(*body, "part");
  if (!part) return part.error();
  if (part->size() > kLongestPart) return wrong_body("part is longer than 64 bytes");
  act.part = std::move(*part);
  const auto word = text_in(*body, "act");
  if (!word) return word.error();
  const auto what = std::ranges::find_if(kStockActs, [&](auto known) { return to_text(known) == *word; });
  if (what == kStockActs.end()) return wrong_body("act must be one of set, order, receive, use");
  act.what = *what;
  const auto count = pieces_in(*body, "count");
  if (!count) return count.error();
  if (!*count) return wrong_body("count is missing");
  act.count = **count;
  const auto on_order = pieces_in(*body, "on_order");
  if (!on_order) return on_order.error();
  if (*on_order && act.what != StockAct::What::set) return wrong_body("on_order means something with set only");
  act.on_order = *on_order;
  std::string by, note;  // for the audit trail, which has the body
  if (const auto read = read_saying(*body, by, note); !read) return read.error();
  return act;
}

Result<upkeep::ServiceDone> service_done_from(const Request& request, std::string_view id) {
  const auto body = body_of(request, {"by", "note", "at"});
  if (!body) return body.error();
  const auto colon = id.find(':');
  upkeep::ServiceDone done;
  done.device = id.substr(0, colon);
  if (colon != id.npos) done.task = id.substr(colon + 1);
  const auto at = instant_in(*body, request.now);
  if (!at) return at.error();
  done.at = *at;
  if (const auto read = read_saying(*body, done.by, done.note); !read) return read.error();
  return done;
}

Result<upkeep::Complaint> complaint_from(const Request& request, std::string_view device,
                                         const upkeep::ComplaintTable& table) {
  const auto body = body_of(request, {"symptom", "known", "by", "note"});
  if (!body) return body.error();
  upkeep::Complaint complaint;
  complaint.device = device;
  complaint.at = request.now;
  auto symptom = text_in(*body, "symptom");
  if (!symptom) return symptom.error();
  if (table.symptom(*symptom) == nullptr)
    return wrong_body("symptom must be one of " + keys_of(table.symptoms, &upkeep::Symptom::key));
  complaint.symptom = std::move(*symptom);
  auto known = known_in(*body, table);
  if (!known) return known.error();
  complaint.known = std::move(*known);
  if (const auto read = read_saying(*body, complaint.by, complaint.note); !read) return read.error();
  return complaint;
}

Result<upkeep::Outcome> outcome_from(const Request& request, const upkeep::ComplaintTable& table) {
  const auto body = body_of(request, {"cause", "known", "by", "note"});
  if (!body) return body.error();
  upkeep::Outcome outcome;
  auto cause = text_in(*body, "cause");
  if (!cause) return cause.error();
  if (table.cause(*cause) == nullptr)
    return wrong_body("cause must be one of " + keys_of(table.causes, &upkeep::Cause::key));
  outcome.cause = std::move(*cause);
  auto known = known_in(*body, table);
  if (!known) return known.error();
  outcome.known = std::move(*known);
  std::string by, note;
  if (const auto read = read_saying(*body, by, note); !read) return read.error();
  return outcome;
}

}  // namespace frisket::http
