#include "daemon/hooks/syslog_message.h"

#include <algorithm>
#include <string_view>

#include "daemon/hooks/notice_body.h"
#include "probes/model/text.h"

namespace frisket::hooks {
namespace {

constexpr std::size_t kLongestHost = 255;
constexpr std::size_t kLongestValue =
    120;  // bytes; so the whole stays below the 2048 that RFC 5424 section 6.1 hopes for
constexpr std::size_t kLongestSummary = 500;

constexpr int kNotice = 5;

// RFC 5674 section 2 (from memory).
int severity_of(const Facts& facts) {
  if (facts.incident.empty() || facts.notice == "cleared") return kNotice;
  switch (facts.severity) {
    case model::Severity::critical:
      return 1;
    case model::Severity::major:
      return 2;
    case model::Severity::minor:
      return 3;
    default:
      return 4;
  }
}

// The mnemonics of IANAItuProbableCause (RFC 3877; from memory) as far as they say what we mean.
std::string_view probable_cause(const std::string& kind) {
  if (kind.ends_with("cover-open") || kind.ends_with("interlock-open")) return "enclosureDoorOpen";
  if (kind.ends_with("-empty") || kind == "media-needed") return "materialSupplyExhausted";
  if (kind.starts_with("input-")) return "inputDeviceError";
  if (kind.starts_with("output-")) return "outputDeviceError";
  return "other";
}

std::string printable(const std::string& host) {
  const bool good = !host.empty() && host.size() <= kLongestHost &&
                    std::ranges::all_of(host, [](unsigned char c) { return c > 0x20 && c < 0x7F; });
  return good ? host : "-";
}

// RFC 5424 section 6.3.3.
std::string parameter(std::string_view name, std::string_view value) {
  const auto clean = model::decode_text(value, model::Charset::utf8, kLongestValue);
  if (clean.empty()) return {};
  std::string text = " " + std::string(name) + "=\"";
  for (const char c : clean) {
    if (c == '"' || c == '\\' || c == ']') text += '\\';
    text += c;
  }
  return text + '"';
}

std::string resource_of(const Facts& facts) {
  if (!facts.device.empty()) return facts.device;
  return facts.queue.empty() ? facts.site : facts.queue;
}

std::string alarm_element(const Facts& facts) {
  const auto severity = facts.notice == "cleared" ? "cleared" : model::to_text(facts.severity);
  return "[alarm" + parameter("resource", resource_of(facts)) + parameter("probableCause", probable_cause(facts.kind)) +
         parameter("perceivedSeverity", severity) + "]";
}

// 32473 is for documents and examples (RFC 5612): we have no enterprise number of our own.
std::string own_element(const Facts& facts) {
  std::string text = "[frisket@32473" + parameter("notice", facts.id) + parameter("reason", facts.reason);
  if (!facts.incident.empty()) {
    text += parameter("incident", facts.incident) + parameter("kind", facts.kind) + parameter("device", facts.device) +
            parameter("queue", facts.queue) + parameter("site", facts.site) + parameter("place", facts.place) +
            parameter("operator", facts.operator_state) + parameter("training", facts.training) +
            parameter("timesRaised", std::to_string(facts.times_raised));
  }
  return text + "]";
}

}  // namespace

std::string syslog_message(int facility, const std::string& host, const incidents::Notice& notice) {
  const auto facts = facts_of(notice);
  const bool is_test = facts.incident.empty();
  const auto what = is_test ? "A test of the hook " + notice.hook + "; nothing is wrong." : facts.summary;
  std::string text = "<" + std::to_string(facility * 8 + severity_of(facts)) + ">1 " + model::to_rfc3339(notice.at) +
                     " " + printable(host) + " frisketd - ";
  text += std::string(kind_of_telling(notice.reason)) + " ";
  if (!is_test) text += alarm_element(facts);
  text += own_element(facts) + " \xEF\xBB\xBF";  // BOM: what follows is UTF-8 (RFC 5424 section 6.4)
  return text + model::decode_text(what, model::Charset::utf8, kLongestSummary);
}

std::string counted_frame(const std::string& message) { return std::to_string(message.size()) + " " + message; }

}  // namespace frisket::hooks
