#include "daemon/hooks/smtp_session.h"

#include <algorithm>
#include <cctype>
#include <string_view>

#include "daemon/hooks/base64.h"
#include "daemon/hooks/conversations.h"
#include "probes/model/text.h"

namespace frisket::hooks {
namespace {

namespace asio = boost::asio;
using Verdict = Reply::Verdict;
using Security = config::MailReceiver::Security;

constexpr int kMostLines = 100;              // of one answer
constexpr std::size_t kLongestAnswer = 300;  // bytes that are kept for the log

int code_of(const std::string& line) {
  const bool is_code = line.size() >= 3 && std::all_of(line.begin(), line.begin() + 3,
                                                       [](unsigned char c) { return std::isdigit(c) != 0; });
  return is_code && line[0] >= '2' && line[0] <= '5' ? std::stoi(line.substr(0, 3)) : 0;
}

std::string upper(std::string text) {
  for (auto& c : text) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return text;
}

// RFC 5321 section 4.5.2: a line that begins with a full stop gets another.
std::string stuffed(const std::string& message) {
  std::string out;
  bool at_start = true;
  for (const char c : message) {
    if (at_start && c == '.') out += '.';
    out += c;
    at_start = c == '\n';
  }
  return out + ".\r\n";
}

}  // namespace

asio::awaitable<SmtpSession::Answer> SmtpSession::answer() {
  Answer answer;
  std::string line;
  abilities_.clear();
  for (int count = 0; count < kMostLines; ++count) {
    const bool came = co_await connection_.read_line(line);
    if (!came) co_return Answer();
    answer.code = code_of(line);
    if (answer.text.size() < kLongestAnswer) answer.text += (answer.text.empty() ? "" : " ") + line;
    if (line.size() > 4) abilities_.push_back(upper(line.substr(4)));
    if (answer.code == 0 || line.size() < 4 || line[3] != '-') break;
  }
  answer.text = model::decode_text(answer.text, model::Charset::utf8, kLongestAnswer);
  co_return answer;
}

asio::awaitable<SmtpSession::Answer> SmtpSession::ask(std::string line) {
  line += "\r\n";
  const bool sent = co_await connection_.write(line);
  if (!sent) co_return Answer();
  auto came = co_await answer();
  co_return came;
}

// Always false. `final`: a 5xx here would be no other next time.
bool SmtpSession::fail(const Answer& answer, const std::string& doing, bool final) {
  if (answer.code == 0 && answer.text.empty()) {
    reply_ = failure_of(connection_);
    reply_.text = doing + ": " + reply_.text;
    return false;
  }
  reply_.verdict = final && answer.is(5) ? Verdict::refused : Verdict::try_again;
  reply_.text = doing + ": the mail server said " + answer.text;
  return false;
}

asio::awaitable<bool> SmtpSession::greet() {
  const bool opened = co_await connection_.open(hook_.mail.server, hook_.mail.port);
  if (!opened) co_return fail({}, "the mail server", false);
  if (hook_.mail.security == Security::tls) {
    const bool encrypted = co_await connection_.encrypt(hook_.mail.server, hook_.mail.ca_file);
    if (!encrypted) co_return fail({}, "the mail server", false);
  }
  const auto greeting = co_await answer();
  if (!greeting.is(2)) co_return fail(greeting, "the greeting", true);
  const bool known = co_await say_hello();
  co_return known;
}

asio::awaitable<bool> SmtpSession::say_hello() {
  const auto hello = co_await ask("EHLO " + connection_.own_address());
  if (!hello.is(2)) co_return fail(hello, "EHLO", true);
  co_return true;
}

asio::awaitable<bool> SmtpSession::encrypt() {
  if (hook_.mail.security != Security::starttls) co_return true;
  const auto answer = co_await ask("STARTTLS");
  if (!answer.is(2)) co_return fail(answer, "STARTTLS", false);
  const bool encrypted = co_await connection_.encrypt(hook_.mail.server, hook_.mail.ca_file);
  if (!encrypted) co_return fail({}, "STARTTLS", false);
  const bool known = co_await say_hello();  // what was said in clear counts for nothing
  co_return known;
}

asio::awaitable<bool> SmtpSession::log_in() {
  const auto& mail = hook_.mail;
  if (mail.user.empty()) co_return true;
  const auto offers = [this](std::string_view mechanism) {
    return std::ranges::any_of(abilities_, [&](const std::string& line) {
      return line.starts_with("AUTH ") && (line + " ").find(" " + std::string(mechanism) + " ") != line.npos;
    });
  };
  Answer answer;
  if (offers("PLAIN")) {  // RFC 4616
    const auto secret = std::string(1, '\0') + mail.user + std::string(1, '\0') + mail.password;
    answer = co_await ask("AUTH PLAIN " + base64(secret));
  } else if (offers("LOGIN")) {
    answer = co_await ask("AUTH LOGIN");
    if (answer.is(3)) answer = co_await ask(base64(mail.user));
    if (answer.is(3)) answer = co_await ask(base64(mail.password));
  } else {
    reply_.verdict = Verdict::try_again;
    reply_.text = "logging in: the mail server offers neither PLAIN nor LOGIN";
    co_return false;
  }
  // Not final: passwords expire and are renewed.
  if (!answer.is(2)) co_return fail(answer, "logging in", false);
  co_return true;
}

asio::awaitable<bool> SmtpSession::name_receivers() {
  std::vector<std::string> all = hook_.mail.to;
  all.insert(all.end(), hook_.mail.cc.begin(), hook_.mail.cc.end());
  Answer last;
  for (const auto& address : all) {
    const auto answer = co_await ask("RCPT TO:<" + address + ">");
    // One that may be taken later: nobody has the mail yet, so all get it together then.
    if (!answer.is(2) && !answer.is(5)) co_return fail(answer, "the receiver " + address, false);
    if (answer.is(2)) continue;
    last = answer;
    refused_.push_back(address + ": " + answer.text);
  }
  if (refused_.size() == all.size()) co_return fail(last, "the receiver " + all.back(), true);
  co_return true;
}

asio::awaitable<Reply> SmtpSession::hand_over(std::string message) {
  bool well = co_await greet();
  if (well) well = co_await encrypt();
  if (well) well = co_await log_in();
  if (!well) co_return reply_;
  const auto sender = co_await ask("MAIL FROM:<" + hook_.mail.from + ">");
  if (!sender.is(2)) {
    fail(sender, "the sender", true);
    co_return reply_;
  }
  well = co_await name_receivers();
  if (!well) co_return reply_;
  const auto begun = co_await ask("DATA");
  if (!begun.is(3)) {
    fail(begun, "DATA", true);
    co_return reply_;
  }
  message = stuffed(message);
  well = co_await connection_.write(message);
  const auto taken = co_await answer();
  if (!taken.is(2)) {
    fail(taken, "the message", true);
    co_return reply_;
  }
  reply_.text = "the mail server said " + taken.text;
  co_return reply_;
}

asio::awaitable<void> SmtpSession::quit() { co_await ask("QUIT"); }

}  // namespace frisket::hooks
