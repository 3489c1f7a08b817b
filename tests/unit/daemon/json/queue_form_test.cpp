// The expected documents follow docs/api.md; words and bounds are RFC 8011's (sections 5.3.7, 5.4.11, 5.4.12).
#include <catch2/catch.hpp>

#include "daemon/json/forms.h"

using namespace frisket;
using json::Json;
using namespace std::chrono_literals;

namespace {

const auto kEight = *model::from_rfc3339("2026-01-05T08:00:00Z");

model::Job job(std::int32_t id, model::JobState state, std::optional<model::Seconds> age = {}) {
  model::Job made;
  made.id = id;
  made.state = state;
  made.age = age;
  made.personal = {"Payslip of " + std::to_string(id), "robin"};
  return made;
}

model::QueueSnapshot stuck() {
  model::QueueSnapshot said;
  said.state = model::PrinterState::processing;
  said.reasons = {{"connecting-to-device", model::StateReason::Mark::none, false},
                  {"media-low", model::StateReason::Mark::warning, false}};
  said.message = "Connecting to the printer";
  said.accepting = true;
  said.queued_count = 4;
  said.up_time = 99s;
  said.make_and_model = "Fernwerk Frond 400";
  said.location = "Herbarium, first floor";
  said.info = "Copier";
  said.device_uri = "socket://127.0.1.5";
  said.is_default = true;
  said.document_formats = {"application/pdf", "image/pwg-raster"};
  said.jobs_known = true;
  said.jobs = {job(11, model::JobState::processing, 500s), job(12, model::JobState::pending, 40s),
               job(13, model::JobState::pending, 90s), job(14, model::JobState::pending_held, 3600s)};
  said.jobs[0].processing_for = 480s;
  said.jobs[0].k_octets = 12;
  said.jobs[0].impressions_completed = 0;
  said.jobs[0].reasons = {"job-printing"};
  said.gaps = {"a job had no id"};
  return said;
}

incidents::QueueStatus status_of(std::optional<model::QueueSnapshot> said) {
  incidents::QueueStatus status;
  status.name = "herbarium";
  status.spooler = "office";
  status.device = "herbarium-copier";
  status.site = "glasshouse";
  status.uri = "ipp://127.0.0.1:631/printers/herbarium";
  if (!said) return status;
  status.reach = model::QueueReach::answered;
  status.last_reading_at = kEight;
  status.snapshot = std::make_shared<const model::QueueSnapshot>(std::move(*said));
  return status;
}

}  // namespace

TEST_CASE("a queue is told with what it said, and with how many jobs wait how long") {
  const auto* expected = R"({"name":"herbarium","spooler":"office","device":"herbarium-copier","site":"glasshouse",
    "uri":"ipp://127.0.0.1:631/printers/herbarium","read_only":false,"state":"processing","reach":"answered","detail":"",
    "last_reading_at":"2026-01-05T08:00:00.000Z","accepting":true,
    "reasons":[{"keyword":"connecting-to-device","mark":""},{"keyword":"media-low","mark":"warning"}],
    "message":"Connecting to the printer","make_and_model":"Fernwerk Frond 400",
    "location":"Herbarium, first floor","info":"Copier","default":true,"device_uri":"socket://127.0.1.5",
    "document_formats":["application/pdf","image/pwg-raster"],
    "jobs":{"known":true,"queued":4,"waiting":2,"held":1,"oldest_waiting_seconds":90,
            "head":{"id":11,"state":"processing","reasons":["job-printing"],"age_seconds":500,"processing_seconds":480,
                    "k_octets":12,"impressions":null,"impressions_completed":0,"priority":null}},
    "conditions":[],"gaps":["a job had no id"]})";
  CHECK(json::queue_form(status_of(stuck())) == Json::parse(expected));
}

TEST_CASE("what a queue did not say is null, and never 0 or false") {
  for (const auto& status : {status_of(std::nullopt), status_of(model::QueueSnapshot{})}) {
    const auto form = json::queue_form(status);
    CHECK(form.at("state") == "unknown");
    CHECK(form.at("accepting").is_null());
    CHECK(form.at("jobs") ==
          Json::parse(
              R"({"known":false,"queued":null,"waiting":null,"held":null,"oldest_waiting_seconds":null,"head":null})"));
    CHECK(form.at("reasons") == Json::array());
    CHECK(form.at("message") == "");
  }
  const auto never_read = json::queue_form(status_of(std::nullopt));
  CHECK(never_read.at("reach").is_null());
  CHECK(never_read.at("last_reading_at").is_null());
  CHECK(never_read.at("default").is_null());

  incidents::QueueStatus bare;
  bare.name = "seeds";
  CHECK(json::queue_form(bare).at("spooler").is_null());
  CHECK(json::queue_form(bare).at("device").is_null());

  const auto nothing_said = json::job_form(model::Job{}, true);
  for (const auto* key : {"age_seconds", "processing_seconds", "k_octets", "impressions", "impressions_completed",
                          "priority", "name", "owner"})
    CHECK(nothing_said.at(key).is_null());
}

TEST_CASE("a queue that is silent is told so, with what it said last") {
  auto status = status_of(stuck());
  status.reach = model::QueueReach::silent;
  status.detail = "no answer in 10 s";
  const auto form = json::queue_form(status);
  CHECK(form.at("state") == "silent");
  CHECK(form.at("detail") == "no answer in 10 s");
  CHECK(form.at("jobs").at("waiting") == 2);
  CHECK(form.at("last_reading_at") == "2026-01-05T08:00:00.000Z");
}

TEST_CASE("names and owners of jobs are withheld unless the reader may know them") {
  const auto status = status_of(stuck());
  CHECK(json::text_of(json::queue_form(status)).find("Payslip") == std::string::npos);
  CHECK(json::text_of(json::queue_form(status)).find("robin") == std::string::npos);

  const auto withheld = json::queue_jobs_form(status, false);
  CHECK(json::text_of(withheld).find("Payslip") == std::string::npos);
  CHECK(json::text_of(withheld).find("robin") == std::string::npos);
  CHECK(withheld.at("personal") == false);
  REQUIRE(withheld.at("items").size() == 4);
  CHECK(withheld.at("items").at(0).at("name").is_null());
  CHECK(withheld.at("items").at(0).at("owner").is_null());

  const auto told = json::queue_jobs_form(status, true);
  CHECK(told.at("items").at(1).at("name") == "Payslip of 12");
  CHECK(told.at("items").at(1).at("owner") == "robin");
  CHECK(told.at("personal") == true);
}

TEST_CASE("a list of jobs says whether it is known at all") {
  auto said = stuck();
  said.jobs.clear();
  CHECK(json::queue_jobs_form(status_of(said), false).at("known") == true);
  said.jobs_known = false;
  CHECK(json::queue_jobs_form(status_of(said), false).at("known") == false);
  CHECK(json::queue_jobs_form(status_of(std::nullopt), false).at("known") == false);
}

TEST_CASE("no text of a queue can break out of its JSON, or out of its line") {
  const std::string hostile = "</script><script>alert(1)</script>\"}],\n\r\t\x1b[2J\x7f\xff \\";
  auto said = stuck();
  said.message = said.location = said.info = said.make_and_model = said.device_uri = hostile;
  said.reasons[0].keyword = hostile;
  said.document_formats = {hostile};
  said.gaps = {hostile};
  said.jobs[0].personal = {hostile, hostile};
  said.jobs[0].reasons = {hostile};
  auto status = status_of(said);
  status.name = status.device = status.spooler = status.site = status.uri = status.detail = hostile;
  const auto queue = json::text_of(json::queue_form(status));
  const auto jobs = json::text_of(json::queue_jobs_form(status, true));
  for (const auto& text : {queue, jobs}) {
    CHECK(Json::accept(text));
    for (const char c : text) CHECK(static_cast<unsigned char>(c) >= 0x20);
  }
  CHECK(Json::parse(queue).size() == json::queue_form(status_of(stuck())).size());
  const auto name = Json::parse(queue).at("name").get<std::string>();
  CHECK(name.starts_with("</script><script>alert(1)</script>\"}],\n\r\t\x1b[2J"));
}
