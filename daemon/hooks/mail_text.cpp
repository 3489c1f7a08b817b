#include "daemon/hooks/mail_text.h"

#include <algorithm>
#include <map>
#include <string_view>

namespace frisket::hooks {
namespace {

// What has happened, for a reader.
std::string news(const Facts& facts) {
  if (facts.notice == "cleared") return "cleared";
  if (facts.notice == "operator-action") return facts.operator_state == "none" ? "taken back" : facts.operator_state;
  const std::string severity(model::to_text(facts.severity));
  if (facts.reason == "reminder") return "still " + severity;
  if (facts.reason == "escalated") return severity + ", nobody has acted";
  if (facts.notice == "changed") return "now " + severity;
  return severity;
}

std::string where(const Facts& facts) {
  if (!facts.device.empty()) return facts.device;
  return facts.queue.empty() ? facts.site : facts.queue;
}

// One row per thing that is known of it.
std::vector<std::pair<std::string, std::string>> rows(const Facts& facts) {
  std::vector<std::pair<std::string, std::string>> list;
  const auto add = [&](const char* name, const std::string& value) {
    if (!value.empty()) list.emplace_back(name, value);
  };
  add("Device", facts.device);
  add("Queue", facts.queue);
  add("Site", facts.site);
  add("Place", facts.place);
  add("Severity", std::string(model::to_text(facts.severity)));
  add("Can be mended by", facts.training);
  add("Raised", facts.raised_at);
  add("Cleared", facts.cleared_at);
  if (facts.operator_state != "none") add("Operator", facts.operator_state);
  if (facts.times_raised > 1) add("Raised so far", std::to_string(facts.times_raised) + " times");
  add("Incident", facts.incident + " (" + facts.kind + ")");
  return list;
}

bool is_to_be_mended(const Facts& facts) { return facts.notice != "cleared"; }

std::string plain_of(const Facts& facts) {
  std::string text = news(facts) + ": " + facts.summary + "\n\n";
  if (is_to_be_mended(facts)) {
    for (const auto& caution : facts.cautions) text += "Careful: " + caution + "\n";
    for (std::size_t i = 0; i < facts.steps.size(); ++i) text += std::to_string(i + 1) + ". " + facts.steps[i] + "\n";
    for (const auto& part : facts.carry) text += "Take along: " + part + "\n";
    text += "\n";
  }
  for (const auto& [name, value] : rows(facts)) text += name + ": " + value + "\n";
  return text;
}

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

std::string html_of(const Facts& facts) {
  std::string text = "<h2>" + escaped(news(facts) + ": " + facts.summary) + "</h2>\n";
  if (is_to_be_mended(facts)) {
    for (const auto& caution : facts.cautions) text += "<p><strong>Careful:</strong> " + escaped(caution) + "</p>\n";
    std::string steps;
    for (const auto& step : facts.steps) steps += "<li>" + escaped(step) + "</li>\n";
    if (!steps.empty()) text += "<ol>\n" + steps + "</ol>\n";
    for (const auto& part : facts.carry) text += "<p>Take along: " + escaped(part) + "</p>\n";
  }
  text += "<table>\n";
  for (const auto& [name, value] : rows(facts))
    text += "<tr><th align=\"left\">" + escaped(name) + "</th><td>" + escaped(value) + "</td></tr>\n";
  return text + "</table>\n";
}

std::string last_line(const std::string& hook) { return "Sent by Frisket's hook " + hook + ". Nobody reads answers."; }
std::string test_line(const std::string& hook) { return "This is a test of the hook " + hook + ". Nothing is wrong."; }

// "2 raised, 1 cleared"
std::string counts(const std::vector<Facts>& all) {
  std::map<std::string, int> by_notice;
  for (const auto& facts : all) ++by_notice[facts.notice];
  std::string text;
  for (const auto& [notice, count] : by_notice)
    text += (text.empty() ? "" : ", ") + std::to_string(count) + " " + notice;
  return text;
}

}  // namespace

std::string mail_subject(const std::vector<Facts>& all, const std::string& hook) {
  if (all.size() > 1) return "Printers: " + counts(all);
  const auto& facts = all.front();
  if (facts.incident.empty()) return "Test of the hook " + hook;
  return "[" + news(facts) + "] " + where(facts) + ": " + facts.summary;
}

std::string mail_plain(const std::vector<Facts>& all, const std::string& hook) {
  std::string text;
  for (const auto& facts : all) text += (facts.incident.empty() ? test_line(hook) + "\n" : plain_of(facts)) + "\n";
  return text + "-- \n" + last_line(hook) + "\n";
}

std::string mail_html(const std::vector<Facts>& all, const std::string& hook) {
  std::string text = "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>" +
                     escaped(mail_subject(all, hook)) + "</title></head><body>\n";
  for (const auto& facts : all)
    text += facts.incident.empty() ? "<p>" + escaped(test_line(hook)) + "</p>\n" : html_of(facts);
  return text + "<hr>\n<p>" + escaped(last_line(hook)) + "</p>\n</body></html>\n";
}

}  // namespace frisket::hooks
