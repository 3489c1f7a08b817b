// A fleet of ten thousand, and files that are too large.
#include <catch2/catch.hpp>
#include <ctime>

#include "fixture.h"

namespace frisket::config {
namespace {

std::string fleet(int devices) {
  std::string text = kGarden;
  for (int i = 0; i < devices; ++i)
    text += device(
        "printer-" + std::to_string(i),
        "10." + std::to_string(i / 62500) + "." + std::to_string(i / 250 % 250) + "." + std::to_string(i % 250 + 1),
        "location = \"Bed " + std::to_string(i) + "\"\npoll_interval = \"1m\"\n");
  return text;
}

// Time of our own on the processor: what else the machine does has no part in it.
class Stopwatch {
 public:
  double seconds() const { return static_cast<double>(std::clock() - begin_) / CLOCKS_PER_SEC; }

 private:
  std::clock_t begin_ = std::clock();
};

double seconds_to_load(const Garden& garden, const std::string& text, std::size_t devices) {
  const Stopwatch watch;
  const auto loaded = garden.load(text);
  const double took = watch.seconds();
  CHECK(loaded.findings.empty());
  CHECK(loaded.config.devices.size() == devices);
  return took;
}

TEST_CASE("ten thousand devices load in time that grows no faster than their number") {
  const Garden garden;
  const double few = seconds_to_load(garden, fleet(2500), 2500);
  const double many = seconds_to_load(garden, fleet(10000), 10000);
  CAPTURE(few, many);
  CHECK(many < 10);        // a guard for slow machines and sanitizers; well under a second otherwise
  CHECK(many < 12 * few);  // four times the devices: quadratic time would be sixteen times as long
}

TEST_CASE("ten thousand devices that are all wrong take no longer") {
  const Garden garden;
  std::string text = fleet(10000);
  for (std::size_t at = 0; (at = text.find("site = \"glasshouse\"", at)) != std::string::npos; ++at)
    text.replace(at, 19, "site = \"glass\"     ");
  const Stopwatch watch;
  const auto loaded = garden.load_with_all_said(text);
  const double took = watch.seconds();
  CHECK_FALSE(loaded.ok());
  CHECK(loaded.findings.size() == 1001);
  CHECK(took < 10);
}

TEST_CASE("a file larger than any fleet needs is refused unread") {
  const Garden garden;
  CHECK(garden.finding(std::string(16 * 1024 * 1024 + 1, '#')) ==
        " error: found 16777217 bytes, allowed: at most 16777216");
  const auto file = garden.folder.write("large.toml", "");
  std::filesystem::resize_file(file, 1ULL << 40);
  const auto loaded = load(file);
  REQUIRE(loaded.findings.size() == 1);
  CHECK(loaded.findings.front().what == "found 1099511627776 bytes, allowed: at most 16777216");
}

TEST_CASE("keys nested however deep are refused, not followed") {
  const Garden garden;
  std::string parts;
  for (int i = 0; i < 1'000'000; ++i) parts += "a.";
  CHECK(garden.finding("\n" + parts + "a = 1\n") == "2:1: error: found more than 100 dots in one line, allowed: fewer");
  CHECK(garden.finding("[" + parts + "a]\n") == "1:1: error: found more than 100 dots in one line, allowed: fewer");
  CHECK_FALSE(garden.load("#\r" + parts + "a = 1\n").ok());
  CHECK(garden.load("  # " + parts + "\n").ok());
  std::string nested = "x = ";
  for (int i = 0; i < 1000; ++i) nested += "[\n{" + parts.substr(0, 200) + "a = ";
  CHECK_THAT(garden.finding(nested), Catch::Matchers::Contains("TOML syntax"));
}

TEST_CASE("a configuration cut anywhere never does worse than be refused") {
  const Garden garden;
  const std::string text = kGarden + device("a", "192.0.2.1",
                                            "location = \"Gew\xC3\xA4"
                                            "chshaus\"\nport = 0x1F\n");
  std::size_t refused = 0;
  for (std::size_t length = 0; length < text.size(); ++length)
    refused += garden.load(text.substr(0, length)).ok() ? 0 : 1;
  CHECK(refused > text.size() / 2);
  CHECK(garden.load(text).ok());
}

}  // namespace
}  // namespace frisket::config
