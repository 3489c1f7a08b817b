#include "tests/simfleet/lie.h"

#include <algorithm>
#include <utility>
#include <vector>

#include "tests/simfleet/ber.h"

namespace frisket::simfleet {
namespace {

constexpr std::uint32_t kPrinterMib[] = {1, 3, 6, 1, 2, 1, 43};
constexpr std::uint32_t kAlertTable = 18;
constexpr std::size_t kColumnLength = 12;  // with the printer's index
constexpr std::size_t kRowLength = 13;
constexpr std::uint32_t kHuge = 2'147'000'000;     // still an Integer32, as prtAlertIndex may be
constexpr std::uint32_t kTooHuge = 4'294'000'000;  // no Integer32
// So that name, headers and all stay below the most that one datagram of UDP over IPv4 can carry, 65,507.
constexpr std::size_t kLongAnswer = 65'000;

struct Binding {
  Oid name;
  std::string value;  // encoded
};

std::vector<Binding> bindings_of(std::string_view variables) {
  std::vector<Binding> bindings;
  ber::Reader list(variables);
  while (const auto binding = list.next(ber::sequence)) {
    ber::Reader inside(binding->body);
    const auto name = inside.next(ber::object_identifier);
    auto& made = bindings.emplace_back();
    if (!name || !ber::decode_oid(name->body, made.name)) return {};
    made.value = inside.rest();
  }
  return bindings;
}

std::string encode(const std::vector<Binding>& bindings) {
  std::string variables;
  for (const auto& [name, value] : bindings) {
    std::string body;
    ber::append_oid(body, name);
    body += value;
    ber::append_octets(variables, body, ber::sequence);
  }
  return variables;
}

bool in_printer_mib(const Oid& name) {
  return name.size() > std::size(kPrinterMib) &&
         std::equal(std::begin(kPrinterMib), std::end(kPrinterMib), name.begin());
}

bool is_row(const Oid& name) { return in_printer_mib(name) && name.size() == kRowLength; }

bool is_walk(const Request& request) {
  return request.pdu == ber::get_next_request || request.pdu == ber::get_bulk_request;
}

// The row number that this agent gives to the row that the model calls `row`, and back.
std::uint32_t numbered(Fault fault, std::uint32_t row) {
  if (fault == Fault::index_zero) return row - 1;
  if (fault == Fault::index_huge) return row + kHuge;
  if (fault == Fault::index_too_huge) return row + kTooHuge;
  return row;
}

std::uint32_t unnumbered(Fault fault, std::uint32_t row) {
  if (fault == Fault::index_zero) return row + 1;
  const std::uint32_t base = fault == Fault::index_huge ? kHuge : fault == Fault::index_too_huge ? kTooHuge : 0;
  return row < base ? 0 : row - base;
}

bool renumbers(Fault fault) {
  return fault == Fault::index_zero || fault == Fault::index_huge || fault == Fault::index_too_huge ||
         fault == Fault::index_pair;
}

std::uint8_t tag_of(const Binding& binding) {
  return binding.value.empty() ? std::uint8_t{0} : static_cast<std::uint8_t>(binding.value.front());
}

void make_null(Binding& binding) {
  binding.value.clear();
  ber::append_empty(binding.value, ber::null);
}

// A text becomes a number, a number a text, and all else an object identifier.
void change_type(Binding& binding) {
  const auto tag = tag_of(binding);
  binding.value.clear();
  switch (tag) {
    case ber::octet_string:
      return ber::append_integer(binding.value, 7);
    case ber::integer:
    case ber::counter32:
    case ber::gauge32:
    case ber::time_ticks:
      return ber::append_octets(binding.value, "seven");
    default:
      return ber::append_oid(binding.value, Oid{1, 3, 7});
  }
}

void empty_text(Binding& binding) {
  if (tag_of(binding) != ber::octet_string) return;
  binding.value.clear();
  ber::append_octets(binding.value, "");
}

// The first text of the answer becomes as long as a datagram allows.
void lengthen(std::vector<Binding>& bindings) {
  const auto first = std::ranges::find(bindings, std::uint8_t{ber::octet_string}, tag_of);
  if (first == bindings.end()) return;
  const auto others = encode(bindings).size();
  if (others >= kLongAnswer) return;
  first->value.clear();
  ber::append_octets(first->value, std::string(kLongAnswer - others, 'w'));
}

// Every variable is under the very name that was asked for.
void stand_still(const std::vector<Binding>& asked, std::vector<Binding>& bindings) {
  for (std::size_t i = 0; i < bindings.size(); ++i) bindings[i].name = asked[i % asked.size()].name;
}

// Where a table ends, it goes on with its first row under the next number.
void go_on(const std::vector<Binding>& asked, const View& view, std::vector<Binding>& bindings) {
  std::vector<Oid> at;
  for (const auto& one : asked) at.push_back(one.name);
  for (std::size_t i = 0; i < bindings.size(); ++i) {
    auto& cursor = at[i % at.size()];
    auto& binding = bindings[i];
    const bool within =
        is_row(binding.name) && std::equal(binding.name.begin(), binding.name.end() - 1, cursor.begin());
    if (!within && is_row(cursor)) {
      Oid first = cursor;
      first.back() = 1;
      std::string name;
      ber::append_oid(name, first);
      binding.name = cursor;
      ++binding.name.back();
      const auto value = view.find(name);
      binding.value.clear();
      if (value) {
        binding.value = *value;
      } else {
        ber::append_integer(binding.value, 1);
      }
    }
    cursor = binding.name;
  }
}

}  // namespace

bool Liar::walks_on(const Request& request) {
  return is_walk(request) && std::ranges::any_of(bindings_of(request.variables), is_row, &Binding::name);
}

bool Liar::begins_alerts(const Request& request) {
  return is_walk(request) && std::ranges::any_of(bindings_of(request.variables), [](const Binding& one) {
           return in_printer_mib(one.name) && one.name[std::size(kPrinterMib)] == kAlertTable &&
                  one.name.size() == kColumnLength;
         });
}

Request Liar::understand(Fault fault, const Request& asked) {
  Request request = asked;
  if (fault == Fault::half_table && is_walk(asked)) request.max_repetitions = std::min(asked.max_repetitions, 1);
  if (!renumbers(fault)) return request;
  auto bindings = bindings_of(asked.variables);
  for (auto& [name, value] : bindings) {
    if (fault == Fault::index_pair && in_printer_mib(name) && name.size() == kRowLength + 1) {
      name.pop_back();
    } else if (is_row(name)) {
      // A row that this agent does not have: the model has none with this number either.
      name.back() = fault == Fault::index_pair ? 0 : unnumbered(fault, name.back());
    }
  }
  names_ = encode(bindings);
  request.variables = names_;
  return request;
}

void Liar::lie(Fault fault, const Request& asked, const View& view, std::string& answer) {
  const std::string copy = answer;
  Request said;  // the second and third number of a Response-PDU are error status and index (RFC 3416 section 3)
  if (parse(copy, said) != Parsed::ok) return;
  const auto names = bindings_of(asked.variables);
  auto bindings = bindings_of(said.variables);
  if (names.empty()) return;
  auto status = static_cast<ErrorStatus>(said.non_repeaters);
  auto index = static_cast<std::size_t>(said.max_repetitions);
  switch (fault) {
    case Fault::version_1:
      said.version = Version::v1;
      break;
    case Fault::wrong_types:
      std::ranges::for_each(bindings, change_type);
      break;
    case Fault::nulls:
      std::ranges::for_each(bindings, make_null);
      break;
    case Fault::empty_strings:
      std::ranges::for_each(bindings, empty_text);
      break;
    case Fault::long_strings:
      lengthen(bindings);
      break;
    case Fault::backwards:
      std::ranges::reverse(bindings);
      break;
    case Fault::stuck:
      if (is_walk(asked)) stand_still(names, bindings);
      break;
    case Fault::endless:
      if (is_walk(asked)) go_on(names, view, bindings);
      break;
    case Fault::half_table:
      if (!walks_on(asked)) return;
      status = ErrorStatus::gen_err;
      index = 1;
      bindings = names;
      break;
    default:
      if (!renumbers(fault)) return;
      for (auto& [name, value] : bindings) {
        if (!is_row(name)) continue;
        if (fault == Fault::index_pair) {
          name.push_back(1);
        } else {
          name.back() = numbered(fault, name.back());
        }
      }
  }
  build_response(said, status, index, encode(bindings), answer);
}

}  // namespace frisket::simfleet
