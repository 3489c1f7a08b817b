#include "probes/lpd/answer.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

#include "answers.h"
#include "probes/model/text.h"

namespace frisket::lpd {
namespace {

using model::LpdReading;
using model::QueueReach;
using testing::kBrief;
using testing::kFull;

LpdReading understood(std::string_view octets) {
  LpdReading reading;
  reading.queue = "fern";
  understand(octets, reading);
  return reading;
}

std::optional<std::int32_t> jobs(std::string_view octets) { return understood(octets).jobs_listed; }

// What holds for every reading whatever came.
void check_bounds(const LpdReading& reading) {
  CHECK(reading.queue == "fern");
  CHECK((reading.reach == QueueReach::answered) == reading.detail.empty());
  CHECK((reading.reach == QueueReach::answered || (!reading.jobs_listed && !reading.accepting)));
  CHECK((reading.reach == QueueReach::answered || reading.personal.lines.empty()));
  CHECK(reading.personal.lines.size() <= 2000);
  CHECK((!reading.jobs_listed || (*reading.jobs_listed >= 0 &&
                                  static_cast<std::size_t>(*reading.jobs_listed) <= reading.personal.lines.size())));
  for (const auto& line : reading.personal.lines) {
    CHECK((!line.empty() && line.size() <= model::kMaxText && model::is_utf8(line)));
    CHECK(std::none_of(line.begin(), line.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20; }));
  }
}

}  // namespace

TEST_CASE("the examples of RFC 2569 sections 3.3 and 3.4 list six jobs, three, and none") {
  CHECK(jobs(kBrief) == 6);
  CHECK(jobs(kFull) == 3);
  CHECK(jobs("no entries\n") == 0);
  const auto reading = understood(kBrief);
  CHECK(reading.reach == QueueReach::answered);
  REQUIRE(reading.personal.lines.size() == 8);
  CHECK(reading.personal.lines[0] == "killtree is ready and printing");
  CHECK(reading.personal.lines[2] == "active fred 123 stuff 1204 bytes");
}

TEST_CASE("Berkeley's server is understood in both forms: two jobs, and no more are taken") {
  for (const auto& answer : {testing::kBerkeleyBrief, testing::kBerkeleyFull}) {
    const auto reading = understood(answer);
    CHECK(reading.reach == QueueReach::answered);
    CHECK(reading.jobs_listed == 2);
    CHECK(reading.accepting == false);
  }
  CHECK(understood("fernhouse: lpd: nettle: unknown printer\n").reach == QueueReach::absent);
  CHECK(understood("fernhouse: lpd: Your host does not have line printer access\n").reach == QueueReach::refused);
  const auto no_daemon = understood("Warning: no daemon present\nno entries\n");
  CHECK(no_daemon.jobs_listed == 0);
  CHECK(no_daemon.accepting == std::nullopt);
}

// The forms that a server of today was seen to give, in tests/peers/lpd_test.py.
TEST_CASE("tabs, carriage returns, empty lines and a missing last LF change nothing") {
  CHECK(jobs("fern is ready\nno entries\n") == 0);
  CHECK(jobs("fern is ready\r\nno entries\r\n") == 0);
  CHECK(jobs("\n\nno entries") == 0);
  CHECK(jobs("active\tmoss\t7\tlist.txt\t12 bytes") == 1);
  CHECK(jobs("Rank\tOwner\tJob\tFile(s)\tTotal Size\n1st\tmoss\t7\tlist.txt\t12 bytes\n") == 1);
}

TEST_CASE("a job is a row with a rank, a number and a size, and nothing else is") {
  CHECK(jobs("11th moss 7 list.txt 12 bytes\n") == 1);
  CHECK(jobs("1st 7 list.txt 12 bytes\n") == 1);                 // the owner withheld
  CHECK(jobs("1st moss fern 7 two words.txt 12 bytes\n") == 1);  // blanks in names
  CHECK(jobs("1st moss 7 12 bytes\n") == 1);                     // the name withheld
  CHECK(jobs("active moss 000000000000001 x 999999999999999999 bytes\n") == 1);
  for (const auto* line :
       {"1st moss seven list.txt 12 bytes", "first moss 7 list.txt 12 bytes", "moss 7 list.txt 12 bytes",
        "1st moss 7 list.txt 12 octets", "1st moss 7 list.txt twelve bytes", "1st moss 7 list.txt",
        "st moss 7 list.txt 12 bytes", "1xx moss 7 list.txt 12 bytes", "Active moss 7 list.txt 12 bytes",
        "1st 12 bytes", "active 12 bytes", "1st moss list.txt 12 bytes", "1st moss -7 list.txt 12 bytes",
        "Rank Owner Job Files Total Size", "fern is ready and printing", "there are no entries today",
        "no entries at all", "12 bytes"})
    CHECK(jobs(line) == std::nullopt);
}

TEST_CASE("in the long form a job is its description with a file behind it") {
  CHECK(jobs("moss: active [job 7 fernhouse]\n list.txt 12 bytes\n") == 1);
  // A file may be called like a row.
  CHECK(jobs("moss: active [job 7 fernhouse]\n 1st moss 7 list.txt 12 bytes 1024 bytes\n") == 1);
  CHECK(jobs("moss: 2nd [job 007fernhouse]\n 2 copies of list.txt 12 bytes\n") == 1);
  CHECK(jobs("moss: 2nd [job 7 a host with blanks]\n standard input 12 bytes\n") == 1);
  for (const auto* text :
       {"moss: active [job 7 fernhouse]\n", "moss: active [job seven fernhouse]\n list.txt 12 bytes\n",
        "moss active [job 7 fernhouse]\n list.txt 12 bytes\n", "moss: [job 7 x]\n list.txt 12 bytes\n",
        "moss: soon [job 7 x]\n list.txt 12 bytes\n", "moss: active [job 7\n list.txt 12 bytes\n", "[job",
        "[job 7 x]\n 12 bytes", "active [job 7 x]\n 12 bytes", "moss: active [job"})
    CHECK(jobs(text) == std::nullopt);
}

TEST_CASE("accepting is said only where it is said, and before the first job only") {
  CHECK(understood(kBrief).accepting == std::nullopt);
  CHECK(understood("fern is ready\nno entries\n").accepting == std::nullopt);
  CHECK(understood("fern is not ready\nno entries\n").accepting == std::nullopt);
  CHECK(understood("Warning: fern queue is turned off\nno entries\n").accepting == false);
  CHECK(understood("fern: Queuing is disabled\n").accepting == false);
  CHECK(understood("fern is not accepting jobs\nno entries\n").accepting == false);
  CHECK(understood("fern is accepting jobs\nno entries\n").accepting == true);
  CHECK(understood("active moss 7 not accepting 12 bytes\n").accepting == std::nullopt);
  CHECK(understood("moss: active [job 7 x]\n is accepting jobs 12 bytes\n").accepting == std::nullopt);
}

TEST_CASE("a server that knows no such queue, lets nobody ask or has no spooler behind it is told apart") {
  CHECK(understood("lpd: fern: unknown printer\n").reach == QueueReach::absent);
  CHECK(understood("Unable to get printer fern: successful-ok").reach == QueueReach::absent);
  const auto refused = understood("fernhouse: Your host does not have line printer access\n");
  CHECK(refused.reach == QueueReach::refused);
  CHECK(refused.detail == "fernhouse: Your host does not have line printer access");
  CHECK(understood("Unable to connect to server 127.0.0.1: Bad file descriptor").reach == QueueReach::silent);
  // A file of that name is no refusal.
  CHECK(understood("fern is ready\n1st moss 7 unknown printer 12 bytes\n").reach == QueueReach::answered);
}

TEST_CASE("no octets are silence, and octets that are no text are nonsense") {
  CHECK(understood("").reach == QueueReach::silent);
  using namespace std::string_literals;
  CHECK(understood("\0"s).reach == QueueReach::nonsense);
  CHECK(understood("fern is ready\n\x1b[2J\n").reach == QueueReach::nonsense);
  CHECK(understood("%PDF-1.4\n\x00\x01"s).reach == QueueReach::nonsense);
  CHECK(understood("\x7f").reach == QueueReach::nonsense);
  // Latin-1 is text to a server of that age.
  const auto latin = understood(
      "1st m\xFCller 7 Gew\xE4"
      "chshaus 12 bytes\n");
  CHECK(latin.jobs_listed == 1);
  CHECK(latin.personal.lines == std::vector<std::string>{"1st m\xC3\xBCller 7 Gew\xC3\xA4"
                                                         "chshaus 12 bytes"});
}

TEST_CASE("a text of any size gives a bounded reading") {
  std::string many;
  for (int i = 0; i < 5000; ++i) many += "1st moss 7 list.txt 12 bytes\n";
  check_bounds(understood(many));
  check_bounds(understood(std::string(200'000, 'x')));
  check_bounds(understood(std::string(200'000, '\n')));
  check_bounds(understood(std::string(200'000, ' ')));
  CHECK(understood(std::string(10, '\n')).reach == QueueReach::answered);
}

TEST_CASE("every prefix of an answer gives a reading that never counts more than the whole") {
  for (const auto& answer : {kBrief, kFull, testing::kBerkeleyBrief, testing::kBerkeleyFull,
                             std::string("Warning: fern queue is turned off\nno entries\n")})
    for (std::size_t length = 0; length <= answer.size(); ++length) {
      const auto reading = understood(std::string_view(answer).substr(0, length));
      check_bounds(reading);
      CHECK(reading.jobs_listed.value_or(0) <= jobs(answer).value_or(0));
    }
}

TEST_CASE("octets at random in a true answer give a bounded reading") {
  std::mt19937 dice(1179);
  for (int round = 0; round < 2000; ++round) {
    auto answer = round % 2 == 0 ? kBrief : kFull;
    for (int change = 0; change < 5; ++change) answer[dice() % answer.size()] = static_cast<char>(dice() % 256);
    check_bounds(understood(answer));
  }
}

}  // namespace frisket::lpd
