#include "daemon/hooks/mail_message.h"

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdio>
#include <string_view>

#include "daemon/hooks/base64.h"
#include "daemon/hooks/mail_text.h"
#include "daemon/hooks/notice_body.h"
#include "daemon/hooks/planner.h"
#include "probes/model/text.h"

namespace frisket::hooks {
namespace {

constexpr std::size_t kLongestSubject = 240;  // bytes of UTF-8
constexpr std::size_t kLongestLine = 76;      // RFC 2045 section 6.8, RFC 2047 section 2
constexpr std::size_t kWordBytes = 39;        // of an encoded word: 52 characters, with its frame 64

// Text with CRLF line ends (RFC 2046 section 4.1.1), in base64 lines.
std::string encoded_text(const std::string& text) {
  std::string crlf;
  for (const char c : text) crlf += c == '\n' ? std::string("\r\n") : std::string(1, c);
  const auto code = base64(crlf);
  std::string lines;
  for (std::size_t at = 0; at < code.size(); at += kLongestLine) lines += code.substr(at, kLongestLine) + "\r\n";
  return lines;
}

// The next piece of at most kWordBytes that ends with a whole character.
std::string_view piece_of(std::string_view text) {
  auto length = std::min(kWordBytes, text.size());
  while (length > 0 && length < text.size() && (static_cast<unsigned char>(text[length]) & 0xC0U) == 0x80) --length;
  return text.substr(0, length);
}

std::string date_header(model::WallTime now) {
  constexpr std::array<const char*, 7> kDays = {"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
  constexpr std::array<const char*, 12> kMonths = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                   "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  const auto seconds = std::chrono::floor<std::chrono::seconds>(now.time_since_epoch());
  const auto day = std::chrono::floor<std::chrono::days>(seconds);
  const std::chrono::year_month_day date{std::chrono::sys_days{day}};
  const std::chrono::hh_mm_ss time{seconds - day};
  std::array<char, 64> text{};
  std::snprintf(text.data(), text.size(), "Date: %s, %02u %s %04d %02d:%02d:%02d +0000\r\n",
                kDays.at(std::chrono::weekday{std::chrono::sys_days{day}}.c_encoding()),
                static_cast<unsigned>(date.day()), kMonths.at(static_cast<unsigned>(date.month()) - 1),
                static_cast<int>(date.year()), static_cast<int>(time.hours().count()),
                static_cast<int>(time.minutes().count()), static_cast<int>(time.seconds().count()));
  return text.data();
}

std::string address_header(const char* name, const std::vector<std::string>& addresses) {
  std::string list;
  for (const auto& address : addresses) list += (list.empty() ? "" : ",\r\n ") + address;
  return list.empty() ? "" : std::string(name) + ": " + list + "\r\n";
}

std::string part(const std::string& boundary, const char* type, const std::string& text) {
  return "--" + boundary + "\r\nContent-Type: " + type +
         "; charset=utf-8\r\nContent-Transfer-Encoding: base64\r\n\r\n" + encoded_text(text);
}

// The same for every attempt of the same notices, and for no others.
std::string id_of(const std::vector<Notice>& notices) {
  if (notices.size() == 1) return notices.front().id;
  return notices.front().id + "." + std::to_string(notices.back().number) + "." + std::to_string(notices.size());
}

std::string thread_headers(const Notice& notice, const std::string& domain) {
  if (notice.incident.empty()) return {};
  const auto root = "<" + notice_id(notice.incident, 0, notice.hook) + "@" + domain + ">";
  return "In-Reply-To: " + root + "\r\nReferences: " + root + "\r\n";
}

}  // namespace

std::string subject_header(const std::string& text) {
  const auto line = model::decode_text(text, model::Charset::utf8, kLongestSubject);
  const bool plain = std::ranges::all_of(line, [](unsigned char c) { return c >= 0x20 && c < 0x7F; });
  if (plain && line.size() < 60 && line.find("=?") == line.npos) return "Subject: " + line + "\r\n";
  std::string header = "Subject:";
  for (std::string_view rest = line; !rest.empty();) {
    const auto piece = piece_of(rest);
    header += (rest.size() == line.size() ? " " : "\r\n ") + ("=?UTF-8?B?" + base64(piece)) + "?=";
    rest.remove_prefix(piece.size());
  }
  return header + "\r\n";
}

std::string mail_message(const config::Hook& hook, const std::vector<Notice>& notices, model::WallTime now) {
  std::vector<Facts> all;
  for (const auto& notice : notices) all.push_back(facts_of(notice));
  const auto domain = hook.mail.from.substr(hook.mail.from.find('@') + 1);
  const auto id = id_of(notices);
  const auto boundary = "=_" + notices.front().id;  // base64 has no '_'
  std::string message = date_header(now);
  message += "From: Frisket <" + hook.mail.from + ">\r\n";
  message += address_header("To", hook.mail.to) + address_header("Cc", hook.mail.cc);
  message += subject_header(mail_subject(all, hook.name));
  message += "Message-ID: <" + id + "@" + domain + ">\r\n";
  if (notices.size() == 1) message += thread_headers(notices.front(), domain);
  message += "Auto-Submitted: auto-generated\r\nMIME-Version: 1.0\r\n";
  message += "Content-Type: multipart/alternative;\r\n boundary=\"" + boundary + "\"\r\n\r\n";
  message += part(boundary, "text/plain", mail_plain(all, hook.name));
  message += part(boundary, "text/html", mail_html(all, hook.name));
  return message + "--" + boundary + "--\r\n";
}

}  // namespace frisket::hooks
