#include "tests/simfleet/ber.h"

#include <charconv>

namespace frisket::simfleet::ber {
namespace {

std::uint8_t octet(std::string_view bytes, std::size_t at) { return static_cast<std::uint8_t>(bytes[at]); }

char byte(std::uint64_t value) { return static_cast<char>(value & 0xFF); }

void append_sub_identifier(std::string& out, std::uint32_t value) {
  int shift = 28;
  while (shift > 0 && (value >> shift) == 0) shift -= 7;
  for (; shift > 0; shift -= 7) out.push_back(byte(((value >> shift) & 0x7F) | 0x80));
  out.push_back(byte(value & 0x7F));
}

}  // namespace

std::optional<Element> Reader::next() {
  if (rest_.size() < 2) return std::nullopt;
  const std::uint8_t tag = octet(rest_, 0);
  if ((tag & 0x1F) == 0x1F) return std::nullopt;
  std::size_t length = octet(rest_, 1);
  std::size_t header = 2;
  if (length >= 0x80) {
    const std::size_t octets = length & 0x7F;
    if (octets == 0 || octets > 4 || rest_.size() < 2 + octets) return std::nullopt;
    length = 0;
    for (std::size_t i = 0; i < octets; ++i) length = (length << 8) | octet(rest_, 2 + i);
    header += octets;
  }
  if (rest_.size() - header < length) return std::nullopt;
  Element element{tag, rest_.substr(header, length), rest_.substr(0, header + length)};
  rest_.remove_prefix(header + length);
  return element;
}

std::optional<Element> Reader::next(std::uint8_t tag) {
  if (rest_.empty() || octet(rest_, 0) != tag) return std::nullopt;
  return next();
}

std::optional<std::int64_t> decode_integer(std::string_view body) {
  if (body.empty() || body.size() > 8) return std::nullopt;
  std::uint64_t value = (octet(body, 0) & 0x80) ? ~std::uint64_t{0} : 0;
  for (std::size_t i = 0; i < body.size(); ++i) value = (value << 8) | octet(body, i);
  return static_cast<std::int64_t>(value);
}

bool decode_oid(std::string_view body, Oid& into) {
  into.clear();
  if (body.empty()) return false;
  std::uint64_t value = 0;
  bool inside = false;
  for (std::size_t i = 0; i < body.size(); ++i) {
    const std::uint8_t b = octet(body, i);
    value = (value << 7) | (b & 0x7F);
    if (value > 0xFFFFFFFFU) return false;
    inside = (b & 0x80) != 0;
    if (inside) continue;
    if (into.empty()) {  // the first two arcs share one sub-identifier: 40 * first + second
      const std::uint32_t first = value < 40 ? 0 : value < 80 ? 1 : 2;
      into.push_back(first);
      into.push_back(static_cast<std::uint32_t>(value) - 40 * first);
    } else {
      if (into.size() == kMaxSubIdentifiers) return false;
      into.push_back(static_cast<std::uint32_t>(value));
    }
    value = 0;
  }
  return !inside;
}

std::optional<Oid> parse_oid(std::string_view text) {
  if (text.starts_with('.')) text.remove_prefix(1);
  Oid oid;
  while (true) {
    std::uint32_t value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || oid.size() == kMaxSubIdentifiers) return std::nullopt;
    oid.push_back(value);
    text.remove_prefix(static_cast<std::size_t>(end - text.data()));
    if (text.empty()) break;
    if (text.front() != '.') return std::nullopt;
    text.remove_prefix(1);
  }
  // The encoding cannot carry anything else (X.690 section 8.19).
  if (oid.size() < 2 || oid[0] > 2 || (oid[0] < 2 && oid[1] > 39) || oid[1] > 0xFFFFFFFFU - 80) return std::nullopt;
  return oid;
}

std::string to_text(OidView oid) {
  std::string text;
  for (const auto sub : oid) {
    if (!text.empty()) text += '.';
    text += std::to_string(sub);
  }
  return text;
}

void append_header(std::string& out, std::uint8_t tag, std::size_t length) {
  out.push_back(static_cast<char>(tag));
  if (length < 0x80) {
    out.push_back(byte(length));
    return;
  }
  int octets = 1;
  while ((length >> (8 * octets)) != 0) ++octets;
  out.push_back(byte(0x80U | static_cast<unsigned>(octets)));
  for (int i = octets - 1; i >= 0; --i) out.push_back(byte(length >> (8 * i)));
}

std::size_t header_size(std::size_t length) {
  std::size_t size = 2;
  if (length >= 0x80) {
    for (; length != 0; length >>= 8) ++size;
  }
  return size;
}

void append_integer(std::string& out, std::int64_t value, std::uint8_t tag) {
  int octets = 1;
  while (octets < 8 &&
         (value < -(std::int64_t{1} << (8 * octets - 1)) || value >= (std::int64_t{1} << (8 * octets - 1)))) {
    ++octets;
  }
  append_header(out, tag, static_cast<std::size_t>(octets));
  for (int i = octets - 1; i >= 0; --i) out.push_back(byte(static_cast<std::uint64_t>(value) >> (8 * i)));
}

void append_unsigned(std::string& out, std::uint64_t value, std::uint8_t tag) {
  int octets = 1;
  while (octets < 8 && (value >> (8 * octets)) != 0) ++octets;
  // A set top bit would read as negative: one zero octet in front (X.690 section 8.3).
  const bool pad = ((value >> (8 * octets - 1)) & 1) != 0;
  append_header(out, tag, static_cast<std::size_t>(octets) + (pad ? 1 : 0));
  if (pad) out.push_back('\0');
  for (int i = octets - 1; i >= 0; --i) out.push_back(byte(value >> (8 * i)));
}

void append_octets(std::string& out, std::string_view octets, std::uint8_t tag) {
  append_header(out, tag, octets.size());
  out += octets;
}

void append_oid(std::string& out, OidView oid) {
  std::string body;
  if (oid.size() >= 2) append_sub_identifier(body, oid[0] * 40 + oid[1]);
  for (std::size_t i = 2; i < oid.size(); ++i) append_sub_identifier(body, oid[i]);
  append_header(out, object_identifier, body.size());
  out += body;
}

void append_empty(std::string& out, std::uint8_t tag) {
  out.push_back(static_cast<char>(tag));
  out.push_back('\0');
}

}  // namespace frisket::simfleet::ber
