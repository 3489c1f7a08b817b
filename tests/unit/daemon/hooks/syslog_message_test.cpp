// What a syslog message is made of. Its form is taken apart by tests/peers/syslog_test.py.
#include "daemon/hooks/syslog_message.h"

#include "fixture.h"

namespace frisket::hooks {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::EndsWith;
using Catch::Matchers::StartsWith;

TEST_CASE("a device's text cannot end a parameter or an element of a syslog message") {
  auto transition = notice("7");
  transition.incident.place = "a\"] [alarm x=\"\\";
  const auto text = syslog_message(16, "potting-shed", planned(transition));
  // RFC 5424 section 6.3.3: '"', '\' and ']' are escaped.
  CHECK_THAT(text, Contains(R"( place="a\"\] [alarm x=\"\\" )"));
}

TEST_CASE("a device's text stays on one line of a syslog message") {
  auto transition = notice("7");
  transition.incident.summary = "Tray 2\n<0>1 - - - - - - all is lost";
  const auto text = syslog_message(16, "potting-shed", planned(transition));
  CHECK(text.find('\n') == text.npos);
  CHECK_THAT(text, EndsWith("\xEF\xBB\xBFTray 2 <0>1 - - - - - - all is lost"));
}

TEST_CASE("the severity of a syslog message is the alarm's, and that of a clearing is notice") {
  // RFC 5674 section 2 (from memory): critical 1, major 2, minor 3, warning 4, cleared 5. Facility 16 times 8 is 128.
  const auto priority = [](model::Severity severity, Transition::What what) {
    auto transition = notice("7", what);
    transition.incident.severity = severity;
    const auto text = syslog_message(16, "h", planned(transition));
    return text.substr(0, text.find('>'));
  };
  CHECK(priority(model::Severity::critical, Transition::What::raised) == "<129");
  CHECK(priority(model::Severity::major, Transition::What::raised) == "<130");
  CHECK(priority(model::Severity::minor, Transition::What::raised) == "<131");
  CHECK(priority(model::Severity::warning, Transition::What::raised) == "<132");
  auto cleared = planned(notice("7"));
  cleared.body.replace(cleared.body.find("\"notice\":\"raised\""), 17, "\"notice\":\"cleared\"");
  CHECK_THAT(syslog_message(16, "h", cleared), StartsWith("<133>1 "));
}

TEST_CASE("a host name that is no printable ASCII is left out") {
  CHECK_THAT(syslog_message(16, "a b", planned(notice("7"))),
             StartsWith("<130>1 2026-11-25T08:00:00.000Z - frisketd "));
  CHECK_THAT(syslog_message(16, "", planned(notice("7"))), Contains("Z - frisketd "));
}

TEST_CASE("a syslog message is bounded however much a device says") {
  auto transition = notice("7");
  const std::string much(4000, '"');
  auto& incident = transition.incident;
  incident.summary = incident.place = incident.kind = incident.site = much;
  incident.device = incident.queue = much;
  CHECK(syslog_message(16, std::string(255, 'h'), planned(transition)).size() < 3100);
  // Quotes double; without them:
  const std::string letters(4000, 'x');
  incident.summary = incident.place = incident.kind = incident.site = letters;
  incident.device = incident.queue = letters;
  CHECK(syslog_message(16, std::string(255, 'h'), planned(transition)).size() < 2048);
}

TEST_CASE("a frame says how many octets follow, not characters") { CHECK(counted_frame("\xC3\xBC") == "2 \xC3\xBC"); }

}  // namespace
}  // namespace frisket::hooks
