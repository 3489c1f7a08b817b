// What a mail is made of. Its form is read by Python's email package in tests/peers/mail_test.py.
#include "daemon/hooks/mail_message.h"

#include "daemon/hooks/mail_text.h"
#include "daemon/hooks/notice_body.h"
#include "fixture.h"

namespace frisket::hooks {
namespace {

using Catch::Matchers::Contains;

config::Hook mail_hook() {
  config::Hook hook;
  hook.name = "desk";
  hook.type = config::Hook::Type::mail;
  hook.mail.from = "frisket@garden.example";
  hook.mail.to = {"desk@garden.example"};
  return hook;
}

Transition hostile() {
  auto transition = notice("7");
  transition.incident.summary = "Tray <script>alert(1)</script>\r\nBcc: all@elsewhere.example\r\n\r\nis open";
  transition.incident.remedy.steps = {"Close \"tray\" & go <b>home</b>."};
  return transition;
}

std::vector<std::string> headers_of(const std::string& message) {
  std::vector<std::string> headers;
  std::istringstream lines(message.substr(0, message.find("\r\n\r\n")));
  for (std::string line; std::getline(lines, line);)
    if (!line.starts_with(' ')) headers.push_back(line.substr(0, line.find(':')));
  return headers;
}

TEST_CASE("a device's text cannot add a header to a mail") {
  const auto message = mail_message(mail_hook(), {planned(hostile())}, kNoticed);
  CHECK(headers_of(message) == std::vector<std::string>{"Date", "From", "To", "Subject", "Message-ID", "In-Reply-To",
                                                        "References", "Auto-Submitted", "MIME-Version",
                                                        "Content-Type"});
}

TEST_CASE("a device's text stays text in a mail's HTML") {
  const auto html = mail_html({facts_of(planned(hostile()))}, "desk");
  CHECK_THAT(html, Contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
  CHECK_THAT(html, Contains("Close &quot;tray&quot; &amp; go &lt;b&gt;home&lt;/b&gt;."));
  CHECK_THAT(html, !Contains("<script") && !Contains("<b>"));
}

TEST_CASE("no line of a mail is longer than 78 characters, none is in anything but ASCII") {
  auto transition = notice("7");
  transition.incident.summary = std::string(90, 'x') + " \xC3\xBC\xE2\x82\xAC" + std::string(90, 'y');
  const auto message = mail_message(mail_hook(), {planned(transition)}, kNoticed);
  std::istringstream lines(message);
  for (std::string line; std::getline(lines, line);) {
    CHECK(line.size() <= 79);  // with its CR: RFC 5322 section 2.1.1
    CHECK(line.ends_with('\r'));
    CHECK(std::all_of(line.begin(), line.end(), [](unsigned char c) { return c < 0x80; }));
  }
}

TEST_CASE("a subject that is no plain ASCII is parted between characters") {
  // RFC 2047 section 5: each encoded word holds whole characters. The umlaut would begin at octet 39.
  const auto header = subject_header(std::string(38, 'a') + "\xC3\xBC!");
  CHECK(header == "Subject: =?UTF-8?B?YWFhYWFhYWFhYWFhYWFhYWFhYWFhYWFhYWFhYWFhYWFhYWFhYWE=?=\r\n =?UTF-8?B?w7wh?=\r\n");
  CHECK(subject_header("Tray 2 is open") == "Subject: Tray 2 is open\r\n");
  CHECK_THAT(subject_header("=?UTF-8?Q?not_ours?="), Contains("=?UTF-8?B?"));
}

TEST_CASE("mails of one incident refer to one id, those of another to another") {
  const auto reference = [](const Transition& transition) {
    const auto message = mail_message(mail_hook(), {planned(transition)}, kNoticed);
    const auto at = message.find("References: ");
    return message.substr(at, message.find("\r\n", at) - at);
  };
  CHECK(reference(notice("7")) == "References: <7-0-desk@garden.example>");
  CHECK(reference(notice("7", Transition::What::changed)) == "References: <7-0-desk@garden.example>");
  CHECK(reference(notice("8")) == "References: <8-0-desk@garden.example>");
}

TEST_CASE("a digest is one mail with every notice in it") {
  auto second = planned(notice("8"));
  second.number = 2;
  const auto first = planned(notice("7"));
  const auto plain = mail_plain({facts_of(first), facts_of(second)}, "desk");
  CHECK_THAT(plain, Contains("Incident: 7 (") && Contains("Incident: 8 ("));
  CHECK(mail_subject({facts_of(first), facts_of(second)}, "desk") == "Printers: 2 raised");
  const auto message = mail_message(mail_hook(), {first, second}, kNoticed);
  CHECK_THAT(message, Contains("Message-ID: <" + first.id + ".2.2@garden.example>"));
  CHECK_THAT(message, Contains("Date: Wed, 25 Nov 2026 08:00:00 +0000\r\n"));  // RFC 5322 section 3.3
}

}  // namespace
}  // namespace frisket::hooks
