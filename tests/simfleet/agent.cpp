#include "tests/simfleet/agent.h"

#include <algorithm>
#include <cstring>

namespace frisket::simfleet {
namespace {

constexpr std::string_view kNoSuchObject{"\x80\x00", 2};
constexpr std::string_view kNoSuchInstance{"\x81\x00", 2};
constexpr std::string_view kEndOfMibView{"\x82\x00", 2};

// The next variable's name in a request; nullopt if the list is malformed there.
std::optional<ber::Element> next_name(ber::Reader& list) {
  const auto binding = list.next(ber::sequence);
  if (!binding) return std::nullopt;
  ber::Reader inside(binding->body);
  const auto name = inside.next(ber::object_identifier);
  if (!name || !inside.next()) return std::nullopt;
  return name;
}

}  // namespace

void Agent::append(std::string_view name, std::string_view value) {
  const std::size_t body = name.size() + value.size();
  if (body >= 0x80) {
    ber::append_header(list_, ber::sequence, body);
    list_ += name;
    list_ += value;
    return;
  }
  // The usual case, in one step: this is where a GET spends its time.
  const std::size_t at = list_.size();
  list_.resize(at + 2 + body);
  char* out = list_.data() + at;
  out[0] = static_cast<char>(ber::sequence);
  out[1] = static_cast<char>(body);
  std::memcpy(out + 2, name.data(), name.size());
  std::memcpy(out + 2 + name.size(), value.data(), value.size());
}

const Agent::Plan* Agent::plan_for(const Request& request, const Mib& mib) {
  // Bounded: a stranger's endless variety starts it anew.
  constexpr std::size_t kMostPlans = 256;
  auto& plans = plans_[&mib];
  key_.assign(request.variables);
  const auto known = plans.find(key_);
  if (known != plans.end()) return &known->second;
  if (plans.size() == kMostPlans) plans.clear();
  const auto made = plans.emplace(key_, Plan{}).first;
  ber::Reader list(made->first);
  while (!list.empty()) {
    const auto name = next_name(list);
    if (!name || !ber::decode_oid(name->body, oid_)) {
      plans.erase(made);
      return nullptr;
    }
    made->second.push_back({name->whole, mib.find(name->whole)});
  }
  return &made->second;
}

// A variable that has no value: appended as the exception that RFC 3416 section 4.2.1 asks for.
bool Agent::missing(std::string_view name, const View& view) {
  const auto element = ber::Reader(name).next();
  if (!element || !ber::decode_oid(element->body, oid_)) return false;
  append(name, view.implements(oid_) ? kNoSuchInstance : kNoSuchObject);
  return true;
}

bool Agent::get(const Request& request, const View& view) {
  const auto* plan = plan_for(request, view.mib());
  if (plan == nullptr) return false;
  const bool plain = view.plain();
  std::size_t index = 0;
  for (const auto& step : *plan) {
    ++index;
    if (plain && step.entry != nullptr) {
      append(step.name, view.value_of(*step.entry));
    } else if (const auto value = view.find(step.name)) {
      append(step.name, *value);
    } else {
      if (failed_ == 0) failed_ = index;
      if (!missing(step.name, view)) return false;
    }
  }
  return true;
}

bool Agent::get_next(const Request& request, const View& view) {
  ber::Reader list(request.variables);
  for (std::size_t index = 1; !list.empty(); ++index) {
    const auto name = next_name(list);
    if (!name || !ber::decode_oid(name->body, oid_)) return false;
    if (const auto variable = view.at(view.after(oid_))) {
      append(variable->name, variable->value);
      continue;
    }
    if (failed_ == 0) failed_ = index;
    append(name->whole, kEndOfMibView);
  }
  return true;
}

// RFC 3416 section 4.2.3. `room` is what the list may hold; the answer ends early there, and
// after a repetition in which every variable was past the end.
bool Agent::get_bulk(const Request& request, const View& view, std::size_t room) {
  cursors_.clear();
  asked_.clear();
  ber::Reader list(request.variables);
  while (!list.empty()) {
    const auto name = next_name(list);
    if (!name || !ber::decode_oid(name->body, oid_)) return false;
    cursors_.push_back(view.after(oid_));
    asked_.push_back(name->whole);
  }
  const auto fits = [&](std::string_view name, std::string_view value) {
    const std::size_t body = name.size() + value.size();
    return list_.size() + ber::header_size(body) + body <= room;
  };
  const auto singles = static_cast<std::size_t>(
      std::clamp<std::int64_t>(request.non_repeaters, 0, static_cast<std::int64_t>(cursors_.size())));
  for (std::size_t i = 0; i < singles; ++i) {
    const auto variable = view.at(cursors_[i]);
    const auto name = variable ? variable->name : asked_[i];
    const auto value = variable ? variable->value : kEndOfMibView;
    if (!fits(name, value)) return true;
    append(name, value);
  }
  for (std::int32_t repetition = 0; repetition < request.max_repetitions; ++repetition) {
    bool all_past_end = true;
    for (std::size_t i = singles; i < cursors_.size(); ++i) {
      const auto variable = view.at(cursors_[i]);
      if (variable) {
        all_past_end = false;
        asked_[i] = variable->name;
        cursors_[i] = view.next(cursors_[i]);
      }
      const auto value = variable ? variable->value : kEndOfMibView;
      if (!fits(asked_[i], value)) return true;
      append(asked_[i], value);
    }
    if (all_past_end) return true;
  }
  return true;
}

bool Agent::answer(const Request& request, const View& view, const Limits& limits, std::string& out) {
  list_.clear();
  failed_ = 0;
  const std::size_t overhead = response_overhead(request);
  bool understood = false;
  switch (request.pdu) {
    case ber::get_request:
      understood = get(request, view);
      break;
    case ber::get_next_request:
      understood = get_next(request, view);
      break;
    case ber::get_bulk_request:
      understood = request.version != Version::v1 &&
                   get_bulk(request, view, limits.bulk > overhead ? limits.bulk - overhead : 0);
      break;
    case ber::set_request:
      // RFC 3416 section 4.2.5: not in view for writing. Version 1 has only noSuchName for it (RFC 2576 section 4.3).
      build_response(request, request.version == Version::v1 ? ErrorStatus::no_such_name : ErrorStatus::no_access, 1,
                     request.variables, out);
      return true;
    default:
      return false;
  }
  if (!understood) return false;
  if (request.version == Version::v1 && failed_ != 0) {
    build_response(request, ErrorStatus::no_such_name, failed_, request.variables, out);
  } else {
    build_response(request, ErrorStatus::no_error, 0, list_, out);
  }
  if (out.size() > limits.message) {
    // RFC 3416 section 4.2.1: an empty list; RFC 1157 section 4.1.2: the request's own.
    build_response(request, ErrorStatus::too_big, 0, request.version == Version::v1 ? request.variables : "", out);
  }
  return true;
}

}  // namespace frisket::simfleet
