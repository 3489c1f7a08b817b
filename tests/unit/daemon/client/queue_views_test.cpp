#include "daemon/client/queue_views.h"

#include "fixture.h"

namespace frisket::client {
namespace {

Queue queue(const char* json) { return decoded<Queue>(json, queue_from); }
QueueJobs jobs(const char* json) { return decoded<QueueJobs>(json, queue_jobs_from); }
QueueOutcome outcome(const char* json) { return decoded<QueueOutcome>(json, queue_outcome_from); }

}  // namespace

TEST_CASE("queues are told with what waits and why, on one line each") {
  CHECK(queues_screen({queue(kQueue), queue(kUnreadQueue)}, screen_of(200)) ==
        R"(QUEUE      STATE            WAITING                                DEVICE            SITE        SAYS
herbarium  printing         2 wait, the oldest for 12 min; 1 held  herbarium-copier  glasshouse  takes no jobs; connecting-to-device, media-low-warning; Connecting to the printer
seeds      does not answer  not known                                                seed bank   no answer in 10 s
)");
  CHECK(queues_screen({}, screen_of(80)) == "No such queue is watched.\n");
}

TEST_CASE("a pipe gets every queue as a row in which nothing is not 0") {
  CHECK(
      queues_lines({queue(kQueue), queue(kUnreadQueue)}) ==
      "name\tstate\tsite\tdevice\tspooler\taccepting\tqueued\twaiting\theld\toldest_waiting_seconds\tlast_reading_at\t"
      "reasons\tmessage\n"
      "herbarium\tprocessing\tglasshouse\therbarium-copier\toffice\tfalse\t3\t2\t1\t720\t2026-11-25T08:36:30.000Z\t"
      "connecting-to-device,media-low-warning\tConnecting to the printer\n"
      "seeds\tsilent\tseed bank\t\t\t\t\t\t\t\t\t\t\n");
}

TEST_CASE("one queue is shown with its next job, its driver, its conditions and its incidents") {
  CHECK(queue_screen(queue(kQueue), {incident(kJam)}, screen_of(100)) == R"(herbarium: printing
  Says       takes no jobs; connecting-to-device, media-low-warning; Connecting to the printer
  Waiting    2 wait, the oldest for 12 min; 1 held
  Next       job 411, processing, for 9 min, 3 of 10 pages, 2210 KiB
  Prints on  herbarium-copier
  Where      Herbarium, first floor, site glasshouse
  Driver     Fernwerk Frond 400, plain
  What for   Copier, the default
  Spooler    office, ipp://127.0.0.1:631/printers/herbarium
  Sends to   socket://127.0.1.5
  Last read  09:36, under a minute ago

Conditions
  warning  connecting-to-device  device  since 09:12, 25 min

Open incidents
critical  herbarium-copier, Tray 2 (glasshouse)
          Paper is jammed at tray 2.
          since 09:12, 25 min; incident 17
)");
  const auto unread = queue_screen(queue(kUnreadQueue), {}, screen_of(100));
  CHECK(unread == R"(seeds: does not answer
  Says       no answer in 10 s
  Waiting    not known
  Where      site seed bank
  Spooler    ipp://127.0.1.6/ipp/print
  Last read  never

Open incidents
  none
)");
}

TEST_CASE("a pipe gets one fact of a queue per line, also those that are not known") {
  const auto lines = queue_lines(queue(kUnreadQueue), {});
  CHECK(lines.starts_with("about\tfield\tvalue\nqueue\tname\tseeds\nqueue\tstate\tsilent\n"));
  CHECK(lines.find("jobs\twaiting\t\n") != std::string::npos);
  CHECK(lines.find("head") == std::string::npos);
  CHECK(queue_lines(queue(kQueue), {incident(kJam)}).find("head\timpressions_completed\t3\n") != std::string::npos);
  CHECK(queue_lines(queue(kQueue), {incident(kJam)}).find("incident:17\tkind\tmedia-jam\n") != std::string::npos);
}

TEST_CASE("jobs are listed with their owners where the daemon tells them, and else it is said that it does not") {
  auto told = jobs(kQueueJobs);
  CHECK(queue_jobs_screen(told, screen_of(120)) ==
        R"(JOB  STATE       AGE     PAGES          SIZE      OWNER  NAME       WHY
411  processing  10 min  3 of 10 pages  2210 KiB  moss   Seed list  job-printing
412  pending
)");
  auto withheld = told;
  withheld.personal = false;
  for (auto& job : withheld.jobs) job.name = job.owner = "";
  CHECK(queue_jobs_screen(withheld, screen_of(120)).find("withholds names and owners") != std::string::npos);
  CHECK(queue_jobs_screen({{}, false, true}, screen_of(80)) == "The queue does not list its jobs.\n");
  CHECK(queue_jobs_screen({{}, true, true}, screen_of(80)) == "No job is in the queue.\n");
  CHECK(queue_jobs_lines(told) ==
        "id\tstate\treasons\tage_seconds\tprocessing_seconds\tk_octets\timpressions\timpressions_completed\tpriority\t"
        "name\towner\n"
        "411\tprocessing\tjob-printing\t605\t590\t2210\t10\t3\t50\tSeed list\tmoss\n"
        "412\tpending\t\t\t\t\t\t\t\t\t\n");
}

TEST_CASE("what came of an act is told with each job, what it would not do, and how it went on") {
  CHECK(queue_outcome_screen(outcome(kCancelled), screen_of(80)) == R"(1 waiting job was cancelled.
  JOB  STATE    AGE    SIZE    OWNER  NAME       DONE
  412  pending  1 min  12 KiB  moss   Seed list  done
The queue prints.
)");
  auto refused = outcome(kCancelled);
  refused.jobs[0].done = false;
  refused.jobs[0].trouble = "not-authorized";
  CHECK(queue_outcome_screen(refused, screen_of(80)).find("not done: not-authorized") != std::string::npos);
  CHECK(queue_outcome_lines(outcome(kWouldCancel)) ==
        "about\tfield\tvalue\nact\twhat\tcancel-waiting\nact\tqueue\therbarium\nact\tdry_run\ttrue\n"
        "act\tsaid\t1 waiting job would be cancelled.\nact\tafterwards\t\n"
        "job:412\tstate\tpending\njob:412\tage_seconds\t60\njob:412\tk_octets\t12\njob:412\tname\tSeed list\n"
        "job:412\towner\tmoss\njob:412\tdone\tfalse\njob:412\ttrouble\t\n");
}

TEST_CASE("no number that a daemon may send breaks the views of queues") {
  for (const char* number : {"-9007199254740992", "-1", "0", "9007199254740992"}) {
    const auto jobs_json =
        std::string(R"({"items": [{"id": N, "age_seconds": N, "k_octets": N, "impressions": N}], "known": true})");
    auto json = jobs_json;
    for (auto at = json.find('N'); at != std::string::npos; at = json.find('N')) json.replace(at, 1, number);
    CHECK_FALSE(queue_jobs_screen(jobs(json.c_str()), screen_of(40)).empty());
  }
  const auto fraction = queue_jobs_from(parse_json(R"({"items": [{"id": 1.5}]})").value());
  REQUIRE_FALSE(fraction);
  CHECK(fraction.error().kind == model::Error::Kind::nonsense);
}

TEST_CASE("an incident of a queue without a device is shown at its queue") {
  auto of_queue = incident(kJam);
  of_queue.device = "";
  of_queue.queue = "herbarium";
  CHECK(incidents_screen({of_queue}, screen_of(120)).find("herbarium") != std::string::npos);
  CHECK(incident_screen(of_queue, screen_of(120)).find("herbarium, Tray 2 (glasshouse)") != std::string::npos);
}

}  // namespace frisket::client
