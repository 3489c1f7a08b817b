// The verb `testprint`: a test page on a device, and whether it was printed.
#pragma once

#include "daemon/client/client.h"
#include "daemon/client/printout.h"

namespace frisket::client {

// How long the daemon may take for its answer; the daemon itself ends in six minutes (docs/api.md).
inline constexpr long kTestPrintMs = 400'000;

struct TestPrint {
  std::string device;
  std::string incident;  // empty: none
  bool dry_run = false;
  std::string page;  // empty in a dry run
  std::string way;
  std::string to;
  std::string queue;
  std::string format;
  std::optional<std::int64_t> job;
  std::string verdict;  // empty in a dry run
  std::vector<std::string> reasons;
  std::optional<std::int64_t> impressions_before;
  std::optional<std::int64_t> impressions_after;
  std::vector<std::string> proved;  // ids of incidents
  std::string said;
};

model::Result<TestPrint> test_print_from(const Json& outcome);

std::string test_print_screen(const TestPrint& test, std::size_t width);
std::string test_print_lines(const TestPrint& test);

// Says on `err` that it waits, on a terminal, unless the request wants JSON or a dry run. Ends with ExitStatus::open
// where the page was not printed.
model::Result<Printout> test_print_verb(const Request& request, Surroundings& around);

}  // namespace frisket::client
