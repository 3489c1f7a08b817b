#include "daemon/http/answer_head.h"

#include <boost/beast/http/status.hpp>
#include <charconv>
#include <ctime>

namespace frisket::http {
namespace {

void add_number(std::string& head, std::size_t number) {
  char digits[20];
  const auto end = std::to_chars(digits, digits + sizeof digits, number).ptr;
  head.append(digits, end);
}

void add_field(std::string& head, std::string_view name, std::string_view value) {
  head.append(name).append(": ");
  for (const char c : value) head += static_cast<unsigned char>(c) < 0x20 || c == 0x7F ? ' ' : c;
  head += "\r\n";
}

}  // namespace

std::string_view DateText::of(model::WallTime now) {
  const auto second = std::chrono::floor<std::chrono::seconds>(now);
  if (!text_.empty() && second == second_) return text_;
  second_ = second;
  const std::time_t time = second.time_since_epoch().count();
  std::tm parts{};
  gmtime_r(&time, &parts);
  char text[40];
  text_.assign(text, std::strftime(text, sizeof text, "%a, %d %b %Y %H:%M:%S GMT", &parts));
  return text_;
}

std::string answer_head(const Response& response, const HeadNeeds& needs) {
  namespace bhttp = boost::beast::http;
  std::string head;
  head.reserve(768);
  head += needs.version < 11 ? "HTTP/1.0 " : "HTTP/1.1 ";
  add_number(head, response.status);
  const auto reason = bhttp::obsolete_reason(static_cast<bhttp::status>(response.status));
  head.append(" ").append(reason.data(), reason.size()).append("\r\nServer: frisket\r\n");
  add_field(head, "Date", needs.date);
  for (const auto& [name, value] : kEveryAnswer) add_field(head, name, value);
  for (const auto& [name, value] : response.fields) add_field(head, name, value);
  if (!needs.keep_alive && needs.version >= 11) head += "Connection: close\r\n";
  if (needs.keep_alive && needs.version < 11) head += "Connection: keep-alive\r\n";
  // RFC 9110 section 15.4.5: a 304 would have to tell the length of what it does not send.
  if (response.status != 304 && !response.follow) {
    head += "Content-Length: ";
    add_number(head, response.body.size());
    head += "\r\n";
  }
  return head += "\r\n";
}

}  // namespace frisket::http
