// docs/client.md says what the program does; these tests hold it to that.
#include <fstream>
#include <set>
#include <sstream>

#include "daemon/client/arguments.h"
#include "daemon/client/complaint_views.h"
#include "daemon/client/queue_views.h"
#include "daemon/client/reliability_view.h"
#include "daemon/client/round_view.h"
#include "daemon/client/test_print_verb.h"
#include "daemon/client/upkeep_views.h"
#include "fixture.h"

namespace frisket::client {
namespace {

std::string page() {
  std::ifstream file(FRISKET_SOURCE_DIR "/docs/client.md");
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

std::string first_line(const std::string& text) { return text.substr(0, text.find('\n')); }

// "a\tb" as the page writes it: "`a` `b`".
std::string as_documented(const std::string& header) {
  std::string out = "`";
  for (const char octet : header) {
    if (octet == '\t')
      out += "` `";
    else
      out += octet;
  }
  return out + "`";
}

// The text with every run of blanks and line ends as one space.
std::string flowing(const std::string& text) {
  std::istringstream in(text);
  std::string out;
  for (std::string word; in >> word;) out += (out.empty() ? "" : " ") + word;
  return out;
}

}  // namespace

TEST_CASE("the page has a section for every verb of the program, and for no other") {
  std::set<std::string> in_page;
  std::istringstream lines(page());
  const std::string start = "### `frisket ";
  for (std::string line; std::getline(lines, line);)
    if (line.starts_with(start))
      in_page.insert(line.substr(start.size(), line.find_first_of(" `", start.size()) - start.size()));
  std::set<std::string> in_code;
  for (const VerbWords& verb : verbs()) in_code.insert(verb.name);
  CHECK(in_page == in_code);
}

TEST_CASE("the page names every option that the help names, in the verb's own section") {
  const std::string text = page();
  for (const VerbWords& verb : verbs()) {
    const char* const argv[] = {"frisket", verb.name, "--help"};
    std::istringstream help(read_arguments(3, argv).out);
    // Not that of a longer verb with the same beginning.
    std::size_t begin = text.find(std::string("### `frisket ") + verb.name + ' ');
    if (begin == std::string::npos) begin = text.find(std::string("### `frisket ") + verb.name + '`');
    REQUIRE(begin != std::string::npos);
    const std::string section = text.substr(begin, text.find("\n### ", begin + 1) - begin);
    int options = 0;
    for (std::string line; std::getline(help, line);) {
      if (!line.starts_with("  --")) continue;
      ++options;
      const std::string option = line.substr(2, line.find(' ', 2) - 2);
      const bool everywhere = option == "--json" || option == "--server" || option == "--token-file";
      INFO(verb.name << ' ' << option);
      CHECK((everywhere ? text : section).find(option) != std::string::npos);
    }
    CHECK(options >= 2);
  }
}

TEST_CASE("the page lists the columns that a pipe gets") {
  const std::string text = flowing(page());
  for (const std::string& header :
       {first_line(devices_lines({})), first_line(supplies_lines({})), first_line(incidents_lines({})),
        first_line(notice_header_line()), first_line(device_lines(Device{}, {})),
        first_line(status_lines(DeviceCounts{}, {})), first_line(queues_lines({})),
        first_line(queue_jobs_lines(QueueJobs{})), first_line(test_print_lines(TestPrint{})),
        first_line(load_lines(Load{})), first_line(orders_lines({})), first_line(stock_lines({})),
        first_line(service_lines({})), first_line(meter_lines({})), first_line(history_lines({})),
        first_line(symptoms_lines({})), first_line(complaints_lines({})), first_line(diagnosis_lines({})),
        first_line(round_lines({}))}) {
    INFO(header);
    CHECK(text.find(as_documented(header)) != std::string::npos);
  }
}

TEST_CASE("the page lists the columns of each table of a verb that prints several") {
  const std::string text = flowing(page());
  std::istringstream tables(reliability_lines(Reliability{}));
  int count = 0;
  for (std::string header; std::getline(tables, header);) {
    if (header.empty()) continue;
    ++count;
    INFO(header);
    CHECK(text.find(as_documented(header)) != std::string::npos);
  }
  CHECK(count == 4);
}

TEST_CASE("the page lists the exit statuses") {
  const std::string text = page();
  for (const ExitStatus status :
       {ExitStatus::done, ExitStatus::open, ExitStatus::usage, ExitStatus::unreachable, ExitStatus::refused})
    CHECK(text.find("\n| " + std::to_string(static_cast<int>(status)) + " | ") != std::string::npos);
}

}  // namespace frisket::client
