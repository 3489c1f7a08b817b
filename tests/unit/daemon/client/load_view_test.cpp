// The alarm load, whole outputs compared to the letter.
#include "fixture.h"

namespace frisket::client {
namespace {

const char* const kLoadedFleet =
    R"({"devices": {"total": 2}, "sites": [{"name": "glasshouse", "devices": {"total": 2}}],
  "load": {
    "hour": {"raised": 12, "per_hour": 12.0, "per_ten_minutes": 2.0, "rate": "manageable", "peak": 10,
             "peak_verdict": "no-verdict"},
    "day": {"raised": 24, "per_hour": 1.0, "per_ten_minutes": 0.167, "rate": "very-likely-acceptable", "peak": 10,
            "peak_verdict": "no-verdict"},
    "week": {"raised": 30, "per_hour": 0.179, "per_ten_minutes": 0.03, "rate": "very-likely-acceptable", "peak": 10,
             "peak_verdict": "no-verdict"},
    "in_flood": true, "chattering": 1, "stale": 2, "noisiest_share": 0.4,
    "noisiest": [{"device": "herbarium-copier", "kind": "media-jam", "raised": 9},
                 {"device": null, "kind": "site-silent", "raised": 3}],
    "sites": [{"name": "glasshouse",
      "hour": {"raised": 1, "per_hour": 1.0, "per_ten_minutes": 0.167, "rate": "very-likely-acceptable", "peak": 1,
               "peak_verdict": "normally-fine"},
      "day": {"raised": 1, "per_hour": 0.042, "per_ten_minutes": 0.007, "rate": "very-likely-acceptable", "peak": 1,
              "peak_verdict": "normally-fine"},
      "week": {"raised": 1, "per_hour": 0.006, "per_ten_minutes": 0.001, "rate": "very-likely-acceptable", "peak": 1,
               "peak_verdict": "normally-fine"}, "in_flood": false}]}})";

Load load(const std::string& site) { return load_from(parse_json(kLoadedFleet).value(), site).value(); }

Request status_request() {
  Request request;
  request.load = true;
  return request;
}

}  // namespace

TEST_CASE("the load on a terminal names averages, peaks and what is noisiest") {
  CHECK(load_screen(load(""), screen_of(100)) ==
        R"(Incidents raised in the fleet
LAST  RAISED  PER HOUR  PER 10 MIN  AVERAGE IS              PEAK  PEAK IS
hour  12      12.00     2.00        manageable              10    no verdict
day   24      1.00      0.17        very likely acceptable  10    no verdict
week  30      0.18      0.03        very likely acceptable  10    no verdict
A flood is going on.
1 incident comes and goes, 2 are stale.

Noisiest of the week, 40.00 per cent of all
  9  media-jam    herbarium-copier
  3  site-silent  no single device
)");
}

TEST_CASE("the load of one site is without what is known of the fleet only") {
  CHECK(load_screen(load("glasshouse"), screen_of(100)) ==
        R"(Incidents raised at glasshouse
LAST  RAISED  PER HOUR  PER 10 MIN  AVERAGE IS              PEAK  PEAK IS
hour  1       1.00      0.17        very likely acceptable  1     normally fine
day   1       0.04      0.01        very likely acceptable  1     normally fine
week  1       0.01      0.00        very likely acceptable  1     normally fine
There is no flood.
)");
}

TEST_CASE("the load in a pipe is two tables, of a site one") {
  CHECK(load_lines(load("")) ==
        "over\traised\tper_hour\tper_ten_minutes\trate\tpeak\tpeak_verdict\n"
        "hour\t12\t12\t2\tmanageable\t10\tno-verdict\n"
        "day\t24\t1\t0.167\tvery-likely-acceptable\t10\tno-verdict\n"
        "week\t30\t0.179\t0.03\tvery-likely-acceptable\t10\tno-verdict\n"
        "\n"
        "device\tkind\traised\n"
        "herbarium-copier\tmedia-jam\t9\n"
        "\tsite-silent\t3\n");
  CHECK(load_lines(load("glasshouse")).find("kind") == std::string::npos);
}

TEST_CASE("status --load prints the load, and ends as without it") {
  Run run;
  run.server.serve("/v1/fleet", kLoadedFleet);
  run.server.serve(kOpenIncidents, R"({"items":[)" + std::string(kJam) + R"(],"next":null})");
  auto request = status_request();
  CHECK(run(request) == ExitStatus::done);
  CHECK(run.out == load_lines(load("")));
  request.fail_on = Severity::critical;
  CHECK(run(request) == ExitStatus::open);
}

TEST_CASE("a load of another shape, or none, is nonsense") {
  for (const auto* fleet : {R"({"devices": {}})", R"({"devices": {}, "load": {"hour": {"raised": "many"}}})"}) {
    Run run;
    run.server.serve("/v1/fleet", fleet);
    run.server.serve(kOpenIncidents, R"({"items":[],"next":null})");
    CHECK(run(status_request()) == ExitStatus::unreachable);
    CHECK(run.out.empty());
  }
}

TEST_CASE("an escape sequence in a load reaches no terminal") {
  const auto fleet = parse_json(R"({"load": {"hour": {"rate": "\u001b[2Jfine"},
    "noisiest": [{"device": "\u001b]0;x\u0007", "kind": "a\tb", "raised": 1}]}})");
  const auto hostile = load_from(*fleet, "").value();
  CHECK(load_screen(hostile, screen_of(80)).find('\x1b') == std::string::npos);
  CHECK(load_lines(hostile).find('\x1b') == std::string::npos);
  CHECK(load_lines(hostile).find("a\tb") == std::string::npos);
}

}  // namespace frisket::client
