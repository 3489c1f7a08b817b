// Against tests/facts/overall-status.tsv: RFC 3805 section 2.2.13.2 (section A of the file), the device
// status that RFC 1514 gave each error bit (B), and bit vectors (D).
#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "daemon/incidents/device_state.h"
#include "facts.h"
#include "fixtures.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;
using model::ErrorBit;

namespace {

// "lowPaper(0),lowToner(2)" gives {0, 2}.
std::set<int> bit_numbers(const std::string& cell) {
  std::set<int> numbers;
  for (const auto& bit : split(cell, ',')) {
    const auto open = bit.find('(');
    if (open != bit.npos) numbers.insert(std::stoi(bit.substr(open + 1)));
  }
  return numbers;
}

// A device that tells its overall status and nothing else.
std::vector<Condition> conditions_of(int device, int printer, const std::set<int>& bits) {
  model::DeviceSnapshot snapshot;
  snapshot.host.device = static_cast<model::HostDeviceStatus>(device);
  snapshot.host.printer = static_cast<model::HostPrinterStatus>(printer);
  std::string octets(2, '\0');
  for (const int bit : bits) {
    auto& octet = octets[static_cast<std::size_t>(bit) / 8];
    octet = static_cast<char>(static_cast<unsigned char>(octet) | (0x80U >> (bit % 8)));
  }
  snapshot.host.errors = model::ErrorBits::decode(octets);
  return derive(snapshot, {}, {}, kMorning).conditions;
}

std::set<std::string> keywords(const std::vector<Condition>& conditions) {
  std::set<std::string> words;
  for (const auto& condition : conditions) words.insert(condition.keyword);
  return words;
}

const std::map<int, std::string> kKeywordOfBit = {{0, "media-low"},
                                                  {1, "media-empty"},
                                                  {2, "marker-supply-low"},
                                                  {3, "marker-supply-empty"},
                                                  {4, "cover-open"},
                                                  {5, "media-jam"},
                                                  {6, "offline"},
                                                  {7, "service-requested"},
                                                  {8, "input-tray-missing"},
                                                  {9, "output-tray-missing"},
                                                  {10, "marker-supply-missing"},
                                                  {11, "output-area-almost-full"},
                                                  {12, "output-area-full"},
                                                  {13, "media-empty"},
                                                  {14, "overdue-prevent-maint"}};

// What each row of the RFC's table must come to where the cell of bits is empty or "none".
const std::map<std::string, std::set<std::string>> kWithoutBits = {{"Idle", {}},
                                                                   {"Busy/Active", {}},
                                                                   {"Non Critical Alert Active", {}},
                                                                   {"Critical Alert Active", {"unexplained-stop"}},
                                                                   {"Unavailable", {"unexplained-stop"}},
                                                                   {"Moving off-line", {}},
                                                                   {"Off-line", {"unexplained-stop"}},
                                                                   {"Moving on-line", {}},
                                                                   {"Standby", {}}};

}  // namespace

TEST_CASE("each row of RFC 3805's overall status table gives its conditions") {
  int rows = 0;
  for (const auto& row : facts("overall-status.tsv")) {
    if (row.at("section") != "A") continue;
    ++rows;
    INFO(row.at("condition"));
    const int device = std::stoi(row.at("hrDeviceStatus"));
    for (const auto& printer : split(row.at("hrPrinterStatus"), '|')) {
      CHECK(keywords(conditions_of(device, std::stoi(printer), {})) == kWithoutBits.at(row.at("condition")));
      for (const int bit : bit_numbers(row.at("bits"))) {
        const auto conditions = conditions_of(device, std::stoi(printer), {bit});
        INFO("bit " << bit);
        CHECK(keywords(conditions) == std::set<std::string>{kKeywordOfBit.at(bit)});
        REQUIRE(conditions.size() == 1);
        CHECK((conditions[0].severity == Severity::critical) == (device == 5));
      }
    }
  }
  CHECK(rows == 9);
}

TEST_CASE("a bit to which RFC 1514 gave the status down is critical with it, a warning is not") {
  int rows = 0;
  for (const auto& row : facts("overall-status.tsv")) {
    if (row.at("section") != "B" || row.at("hrDeviceStatus").empty()) continue;
    ++rows;
    INFO(row.at("condition"));
    const int device = std::stoi(row.at("hrDeviceStatus"));
    const auto conditions = conditions_of(device, device == 5 ? 1 : 3, bit_numbers(row.at("bits")));
    REQUIRE(conditions.size() == 1);
    CHECK((conditions[0].severity == Severity::critical) == (device == 5));
  }
  CHECK(rows == 8);
}

TEST_CASE("each recorded bit vector gives the conditions of its bits") {
  int rows = 0;
  for (const auto& row : facts("overall-status.tsv")) {
    if (row.at("section") != "D") continue;
    ++rows;
    INFO(row.at("condition"));
    const auto hex = row.at("condition").substr(row.at("condition").find(' ') + 1);
    std::string octets;
    if (hex != "(empty)")
      for (std::size_t i = 0; i < hex.size(); i += 2)
        octets.push_back(static_cast<char>(std::stoi(hex.substr(i, 2), nullptr, 16)));
    model::DeviceSnapshot snapshot;
    snapshot.host.device = model::HostDeviceStatus::running;
    snapshot.host.errors = model::ErrorBits::decode(octets);
    const auto conditions = derive(snapshot, {}, {}, kMorning).conditions;

    std::set<std::string> expected;
    const auto bits = row.at("bits") == "0..14 all" ? std::set<int>{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14}
                                                    : bit_numbers(row.at("bits"));
    for (const int bit : bits) expected.insert(kKeywordOfBit.at(bit));
    if (bits.size() == 15) {
      // Everything at once: low is then only a second voice for empty, and off line for what stops it.
      for (const int bit : {0, 2, 6, 7, 11}) expected.erase(kKeywordOfBit.at(bit));
      expected.insert("media-empty");
    } else if (bits.size() > 1) {
      expected.erase("service-requested");  // by reason of the rest
    }
    CHECK(keywords(conditions) == expected);
  }
  CHECK(rows == 20);
}

TEST_CASE("a device's state follows its overall status") {
  const auto state = [](int device, int printer) {
    model::DeviceSnapshot snapshot;
    snapshot.host.device = static_cast<model::HostDeviceStatus>(device);
    snapshot.host.printer = static_cast<model::HostPrinterStatus>(printer);
    return to_text(state_of(snapshot, {}));
  };
  CHECK(state(2, 3) == "ready");
  CHECK(state(2, 4) == "busy");
  CHECK(state(2, 1) == "ready");  // standby
  CHECK(state(5, 1) == "stopped");
  CHECK(state(5, 5) == "busy");  // moving on-line
  CHECK(state(4, 2) == "busy");  // under test (RFC 2790)
  CHECK(state(1, 2) == "unknown");
}
