// Runs each fuzzer's seeds through the fuzzer's own driver, in every build.
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "snmp_drivers.h"

namespace frisket::fuzz {
namespace {

std::vector<std::vector<std::uint8_t>> seeds(const std::string& target) {
  std::vector<std::vector<std::uint8_t>> all;
  for (const auto& entry : std::filesystem::directory_iterator(FRISKET_TESTS_DIR "/fuzz/corpus/" + target)) {
    std::ifstream file(entry.path(), std::ios::binary);
    all.emplace_back(std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>());
  }
  return all;
}

}  // namespace

TEST_CASE("every seed of the datagram fuzzer, whole and cut anywhere, keeps the driver's promises") {
  const auto all = seeds("snmp_datagram");
  CHECK(all.size() >= 5);
  for (const auto& seed : all) {
    for (std::size_t length = 0; length <= seed.size(); ++length) drive_datagram(std::span(seed).first(length));
  }
}

TEST_CASE("every seed of the notification fuzzer, whole and cut anywhere, keeps the driver's promises") {
  const auto all = seeds("snmp_notification");
  CHECK(all.size() >= 4);
  for (const auto& seed : all) {
    for (std::size_t length = 0; length <= seed.size(); ++length) drive_notification(std::span(seed).first(length));
  }
}

TEST_CASE("every seed of the reading fuzzer keeps the driver's promises") {
  const auto all = seeds("snmp_reading");
  CHECK(all.size() >= 3);
  for (const auto& seed : all) drive_reading(seed);
}

TEST_CASE("every seed of the cheap poll's fuzzer keeps the driver's promises") {
  const auto all = seeds("snmp_watch");
  CHECK(all.size() >= 4);
  for (const auto& seed : all) drive_watch(seed);
}

}  // namespace frisket::fuzz
