// A test page that somebody asks for, and what became of it. Pure values.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace frisket::http {

struct TestPrint {
  std::string device;
  std::string incident{};  // its id stands on the page; may be empty
  bool dry_run = false;
  std::string by{};    // the person, in his own words; may be empty
  std::string note{};  // may be empty
};

// How it ended.
enum class TestVerdict {
  printed,              // the job was completed, and the device's page counter rose
  completed_uncounted,  // the job was completed; the device counts no pages, or its counter did not move
  stopped,              // the printer stopped with it (job-state processing-stopped)
  aborted,              // job-state aborted: the printer gave it up
  canceled,             // job-state canceled: somebody cancelled it
  timed_out,            // it was not over in time; it may still come out
  not_taken,            // the printer was not reached, or did not take the job
};

std::string_view to_text(TestVerdict verdict);  // "printed", "completed-uncounted", ...

struct TestPrintOutcome {
  // Which way the page goes.
  enum class Way {
    own_service,  // IPP, to the device's own print service
    queue,        // IPP, to a queue that prints on it
    raw_port,     // the octets alone, to a TCP port
  };

  TestPrint asked;
  std::string page_id{};  // as it stands on the page; empty in a dry run
  Way way = Way::own_service;
  std::string to{};      // a URI, or "192.0.2.20 port 9100"
  std::string queue{};   // its name, where the way is one
  std::string format{};  // "application/pdf"
  std::optional<std::int32_t> job{};
  std::optional<TestVerdict> verdict{};               // nothing: a dry run
  std::vector<std::string> reasons{};                 // IPP keywords: of the job, and of the printer
  std::optional<std::uint64_t> impressions_before{};  // nothing: not counted, or not read in time
  std::optional<std::uint64_t> impressions_after{};
  std::vector<std::string> proved{};  // ids of incidents whose fix this page has shown to hold
  std::string said{};                 // one or two sentences for a person
};

std::string_view to_text(TestPrintOutcome::Way way);  // "own-service", "queue", "raw-port"

}  // namespace frisket::http
