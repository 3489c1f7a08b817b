// Against tests/facts/overall-status.tsv, sections C and D, and tests/facts/enums.tsv.
#include "probes/model/status.h"

#include <algorithm>
#include <cctype>
#include <regex>

#include "facts.h"
#include "probes/model/severity.h"

namespace frisket::model {
namespace {

// "noPaper(1),serviceRequested(7)" as the numbers of the bits; "0..14 all" as all of them.
std::vector<int> bit_numbers(const std::string& text) {
  std::vector<int> numbers;
  if (text == "0..14 all")
    for (int bit = 0; bit <= 14; ++bit) numbers.push_back(bit);
  const std::regex number("\\((\\d+)\\)");
  for (std::sregex_iterator found(text.begin(), text.end(), number), end; found != end; ++found)
    numbers.push_back(std::stoi((*found)[1]));
  return numbers;
}

std::vector<int> decoded(std::string_view octets) {
  std::vector<int> numbers;
  for (const auto bit : ErrorBits::decode(octets).list()) numbers.push_back(static_cast<int>(bit));
  return numbers;
}

TEST_CASE("the published vectors decode to the bits they name") {
  int vectors = 0;
  for (const auto& row : facts("overall-status.tsv")) {
    if (row.at(0) != "D") continue;
    ++vectors;
    INFO(row.at(1));
    const auto hex = row.at(1).substr(std::string("octets ").size());
    CHECK(decoded(hex == "(empty)" ? "" : octets_of(hex)) == bit_numbers(row.at(5)));
  }
  CHECK(vectors == 20);
}

// Section C4: bit n is in octet n/8 under the mask 0x80 >> (n % 8); bit 15 is not assigned.
TEST_CASE("each bit alone is itself, in two octets and in more") {
  for (int bit = 0; bit < 16; ++bit) {
    std::string octets(2, '\0');
    octets[static_cast<std::size_t>(bit / 8)] = static_cast<char>(0x80 >> (bit % 8));
    const auto expected = bit == 15 ? std::vector<int>{} : std::vector{bit};
    CHECK(decoded(octets) == expected);
    CHECK(decoded(octets + std::string(126, '\xFF')) == expected);  // RFC 3805 allows 128 octets
  }
}

TEST_CASE("the bits have the standard's names") {
  for (const auto& row : facts("enums.tsv")) {
    if (row.at(0) != "hrPrinterDetectedErrorState.bit" || row.at(2) == "(unassigned)") continue;
    std::string name(to_text(static_cast<ErrorBit>(std::stoi(row.at(1)))));
    std::erase(name, '-');
    std::string standard = row.at(2);
    std::ranges::transform(standard, standard.begin(),
                           [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    CHECK(name == standard);
  }
  CHECK(to_text(static_cast<ErrorBit>(15)) == "unassigned");
}

TEST_CASE("bits can be named, asked for and compared") {
  const ErrorBits bits{ErrorBit::jammed, ErrorBit::overdue_prevent_maint};
  CHECK(bits.has(ErrorBit::jammed));
  CHECK_FALSE(bits.has(ErrorBit::door_open));
  CHECK(bits == ErrorBits::decode(octets_of("0402")));
  CHECK(ErrorBits{}.none());
  CHECK_FALSE(bits.none());
}

// RFC 3805 PrtSubUnitStatusTC; the examples are its own and RFC 8011 section 5.4.12's, as the table says.
TEST_CASE("the published examples of a subunit's status mean what they say") {
  int examples = 0;
  for (const auto& row : facts("enums.tsv")) {
    if (row.at(0) != "PrtSubUnitStatusTC.example") continue;
    ++examples;
    const auto status = SubunitStatus::decode(std::stoi(row.at(1)));
    INFO(row.at(2));
    CHECK(status.critical_alerts == (row.at(2).find("+critical") != std::string::npos));
    CHECK(status.non_critical_alerts == (row.at(2).find("nonCritical") != std::string::npos));
    if (row.at(2).starts_with("broken")) CHECK(status.availability == SubunitStatus::Availability::broken);
    if (row.at(2).starts_with("onRequest")) CHECK(status.availability == SubunitStatus::Availability::on_request);
    if (row.at(2).starts_with("idle")) CHECK(status.availability == SubunitStatus::Availability::idle);
    CHECK_FALSE(status.off_line);
    CHECK_FALSE(status.transitioning);
  }
  CHECK(examples == 4);
}

TEST_CASE("every combination of availability and flags decodes into its parts") {
  for (std::int32_t wire = 0; wire < 128; ++wire) {
    const auto status = SubunitStatus::decode(wire);
    CHECK(static_cast<std::int32_t>(status.availability) + 8 * status.non_critical_alerts +
              16 * status.critical_alerts + 32 * status.off_line + 64 * status.transitioning ==
          wire);
  }
}

TEST_CASE("values beyond the standard are unknown or their low bits, never a guess at a fault") {
  CHECK(SubunitStatus::decode(-1) == SubunitStatus{});
  CHECK(SubunitStatus::decode(INT32_MIN) == SubunitStatus{});
  CHECK(SubunitStatus::decode(128) == SubunitStatus::decode(0));
  CHECK(SubunitStatus::decode(7).availability == SubunitStatus::Availability::undefined);
}

TEST_CASE("a status reads as words") {
  CHECK(to_text(SubunitStatus::decode(0)) == "idle");
  CHECK(to_text(SubunitStatus::decode(27)) == "broken, non-critical alerts, critical alerts");
  CHECK(to_text(SubunitStatus::decode(1 + 32 + 64)) == "on request, off line, transitioning");
  CHECK(to_text(SubunitStatus{}) == "unknown");
}

// ITU-T X.733's order, as RFC 8632 uses it.
TEST_CASE("severities are in rising order, and words come back as they went") {
  CHECK(Severity::warning < Severity::minor);
  CHECK(Severity::minor < Severity::major);
  CHECK(Severity::major < Severity::critical);
  for (const auto severity : {Severity::warning, Severity::minor, Severity::major, Severity::critical})
    CHECK(severity_from(to_text(severity)) == severity);
  for (const auto training : {Training::untrained, Training::trained, Training::field_service})
    CHECK(training_from(to_text(training)) == training);
  for (const auto* text : {"", "Critical", "severe", "major "}) {
    CHECK_FALSE(severity_from(text));
    CHECK_FALSE(training_from(text));
  }
}

}  // namespace
}  // namespace frisket::model
