#include "daemon/client/test_print_verb.h"

#include "daemon/client/listing.h"
#include "daemon/client/table.h"
#include "daemon/client/words.h"

namespace frisket::client {
namespace {

// The page is there as far as anybody can tell from here.
bool is_good(const TestPrint& test) {
  return test.dry_run || test.verdict == "printed" || test.verdict == "completed-uncounted";
}

std::string verdict_words(const TestPrint& test) {
  if (test.dry_run) return "nothing is printed yet. ";
  if (test.verdict == "completed-uncounted") return "completed, not counted. ";
  if (test.verdict == "timed-out") return "not over in time. ";
  if (test.verdict == "not-taken") return "not taken. ";
  return test.verdict + ". ";
}

}  // namespace

Result<TestPrint> test_print_from(const Json& outcome) {
  Shape shape;
  const Fields fields(outcome, "", shape);
  for (const auto* needed : {"device", "dry_run", "said"}) fields.require(needed);
  TestPrint test;
  test.device = fields.text("device");
  test.incident = fields.text("incident");
  test.dry_run = fields.flag("dry_run").value_or(false);
  if (!test.dry_run) fields.require("verdict");
  test.page = fields.text("page");
  test.way = fields.text("way");
  test.to = fields.text("to");
  test.queue = fields.text("queue");
  test.format = fields.text("format");
  test.job = fields.whole("job");
  test.verdict = fields.text("verdict");
  test.reasons = fields.texts("reasons");
  test.impressions_before = fields.whole("impressions_before");
  test.impressions_after = fields.whole("impressions_after");
  test.proved = fields.texts("proved");
  test.said = fields.text("said");
  return checked(std::move(test), shape);
}

std::string test_print_screen(const TestPrint& test, std::size_t width) {
  std::string out;
  for (const auto& line : wrapped(test.device + ": " + verdict_words(test) + test.said, width)) out += line + '\n';
  return out;
}

std::string test_print_lines(const TestPrint& test) {
  return tab_separated({"field", "value"}, {{"device", test.device},
                                            {"incident", test.incident},
                                            {"dry_run", test.dry_run ? "true" : "false"},
                                            {"page", test.page},
                                            {"way", test.way},
                                            {"to", test.to},
                                            {"queue", test.queue},
                                            {"format", test.format},
                                            {"job", plain(test.job)},
                                            {"verdict", test.verdict},
                                            {"reasons", joined(test.reasons, ",")},
                                            {"impressions_before", plain(test.impressions_before)},
                                            {"impressions_after", plain(test.impressions_after)},
                                            {"proved", joined(test.proved, ",")},
                                            {"said", test.said}});
}

Result<Printout> test_print_verb(const Request& request, Surroundings& around) {
  Json body = {{"dry_run", request.dry_run}, {"by", request.by.empty() ? around.user : request.by}};
  if (!request.note.empty()) body["note"] = request.note;
  if (!request.incident.empty()) body["incident"] = request.incident;
  if (around.terminal && !request.json && !request.dry_run)
    around.err << "frisket: a test page is sent to " << inert(request.subject)
               << "; whether it is printed can take some minutes to know\n"
               << std::flush;
  const auto path = "/v1/devices/" + percent_encoded(request.subject) + "/testprint";
  const auto json = post_document(around.server, path, body);
  if (!json) return json.error();
  const auto test = test_print_from(*json);
  if (!test) return test.error();
  Printout out = as_served(*json);
  if (!request.json) out.text = around.terminal ? test_print_screen(*test, around.width) : test_print_lines(*test);
  if (!is_good(*test)) out.status = ExitStatus::open;
  return out;
}

}  // namespace frisket::client
