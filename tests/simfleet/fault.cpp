#include "tests/simfleet/fault.h"

#include <algorithm>
#include <utility>

#include "tests/simfleet/ber.h"

namespace frisket::simfleet {
namespace {

constexpr std::pair<std::string_view, Fault> kFaults[] = {
    {"none", Fault::none},
    {"garbage", Fault::garbage},
    {"truncated", Fault::truncated},
    {"padded", Fault::padded},
    {"oversized", Fault::oversized},
    {"duplicate", Fault::duplicate},
    {"wrong-id", Fault::wrong_id},
    {"bad-length", Fault::bad_length},
    {"negative-length", Fault::negative_length},
    {"empty", Fault::empty},
    {"mute", Fault::mute},
    {"elsewhere", Fault::elsewhere},
    {"half-silent", Fault::half_silent},
    {"restart", Fault::restart},
    {"version-1", Fault::version_1},
    {"wrong-types", Fault::wrong_types},
    {"nulls", Fault::nulls},
    {"empty-strings", Fault::empty_strings},
    {"long-strings", Fault::long_strings},
    {"backwards", Fault::backwards},
    {"stuck", Fault::stuck},
    {"endless", Fault::endless},
    {"half-table", Fault::half_table},
    {"index-zero", Fault::index_zero},
    {"index-huge", Fault::index_huge},
    {"index-too-huge", Fault::index_too_huge},
    {"index-pair", Fault::index_pair},
};

std::string random_octets(std::size_t most, std::mt19937_64& random) {
  std::string octets(1 + random() % most, '\0');
  for (auto& octet : octets) octet = static_cast<char>(random() & 0xFF);
  return octets;
}

// Changes the last octet of the request id, found as an independent reader would find it.
void change_id(std::string& answer) {
  ber::Reader outer(answer);
  const auto message = outer.next(ber::sequence);
  if (!message) return;
  ber::Reader fields(message->body);
  fields.next();
  fields.next();
  const auto pdu = fields.next();
  if (!pdu) return;
  const auto id = ber::Reader(pdu->body).next(ber::integer);
  if (!id || id->body.empty()) return;
  const auto last = static_cast<std::size_t>(id->body.data() - answer.data()) + id->body.size() - 1;
  answer[last] = static_cast<char>(answer[last] ^ 0x55);
}

}  // namespace

std::optional<Fault> parse_fault_name(std::string_view name) {
  for (const auto& [word, fault] : kFaults) {
    if (word == name) return fault;
  }
  return std::nullopt;
}

std::string fault_names() {
  std::string names;
  for (const auto& [word, fault] : kFaults) names.append(names.empty() ? "" : ", ").append(word);
  return names;
}

int misbehave(Fault fault, std::string& answer, std::mt19937_64& random) {
  switch (fault) {
    case Fault::none:
      return 1;
    case Fault::garbage:
      answer = random_octets(1400, random);
      return 1;
    case Fault::truncated:
      answer.resize(answer.empty() ? 0 : random() % answer.size());
      return 1;
    case Fault::padded:
      answer += random_octets(64, random);
      return 1;
    case Fault::oversized:
      answer.resize(std::max<std::size_t>(answer.size(), 60000), '\0');
      return 1;
    case Fault::duplicate:
      return 2;
    case Fault::wrong_id:
      change_id(answer);
      return 1;
    case Fault::bad_length:
    case Fault::negative_length: {
      const auto message = ber::Reader(answer).next();
      if (!message) return 1;
      const std::string body(message->body);
      answer.assign(1, static_cast<char>(ber::sequence));
      if (fault == Fault::bad_length) {
        answer += std::string("\x83\x01\x00\x00", 4);
      } else {
        answer += std::string("\x88") + std::string(8, '\xFF');
      }
      answer += body;
      return 1;
    }
    case Fault::empty:
      answer.clear();
      return 1;
    case Fault::mute:
      return 0;
    default:
      return 1;
  }
}

}  // namespace frisket::simfleet
