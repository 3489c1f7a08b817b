// Every enumeration against tests/facts/enums.tsv (RFC 3805 section 6, IANA-PRINTER-MIB of
// 2014-05-22, RFC 2790), and the enumerators of the headers against the labels.
#include "probes/model/enums.h"

#include <algorithm>
#include <cctype>
#include <map>
#include <regex>

#include "facts.h"
#include "probes/model/alert_enums.h"
#include "probes/model/channel_enums.h"

namespace frisket::model {
namespace {

using Labels = std::map<std::int32_t, std::string>;

struct Enumeration {
  std::string convention;  // the textual convention or object that defines it
  std::string type;        // ours
  std::string prefix;      // that the standard puts before each label
  std::span<const EnumName> rows;
};

std::vector<Enumeration> enumerations() {
  return {
      {"hrDeviceStatus", "HostDeviceStatus", "", listed<HostDeviceStatus>()},
      {"hrPrinterStatus", "HostPrinterStatus", "", listed<HostPrinterStatus>()},
      {"PrtCoverStatusTC", "CoverStatus", "", listed<CoverStatus>()},
      {"PrtMediaUnitTC", "MediaUnit", "", listed<MediaUnit>()},
      {"PrtCapacityUnitTC", "CapacityUnit", "", listed<CapacityUnit>()},
      {"PrtInputTypeTC", "InputType", "", listed<InputType>()},
      {"PrtOutputTypeTC", "OutputType", "", listed<OutputType>()},
      {"PrtMarkerMarkTechTC", "MarkTech", "", listed<MarkTech>()},
      {"PrtMarkerCounterUnitTC", "CounterUnit", "", listed<CounterUnit>()},
      {"PrtMarkerSuppliesTypeTC", "SupplyType", "", listed<SupplyType>()},
      {"PrtMarkerSuppliesClassTC", "SupplyClass", "", listed<SupplyClass>()},
      {"PrtMarkerSuppliesSupplyUnitTC", "SupplyUnit", "", listed<SupplyUnit>()},
      {"PrtMarkerColorantRoleTC", "ColorantRole", "", listed<ColorantRole>()},
      {"PrtMediaPathTypeTC", "MediaPathType", "", listed<MediaPathType>()},
      {"PrtMediaPathMaxSpeedPrintUnitTC", "SpeedUnit", "", listed<SpeedUnit>()},
      {"PrtConsoleColorTC", "LightColor", "", listed<LightColor>()},
      {"PrtConsoleDisableTC", "ConsoleDisable", "", listed<ConsoleDisable>()},
      {"PrtAlertSeverityLevelTC", "AlertSeverity", "", listed<AlertSeverity>()},
      {"PrtAlertTrainingLevelTC", "AlertTraining", "", listed<AlertTraining>()},
      {"PrtAlertGroupTC", "AlertGroup", "", listed<AlertGroup>()},
      {"PrtAlertCodeTC", "AlertCode", "", listed<AlertCode>()},
      {"PrtChannelTypeTC", "ChannelType", "ch", listed<ChannelType>()},
      {"PrtChannelStateTC", "ChannelState", "", listed<ChannelState>()},
      {"PrtInterpreterLangFamilyTC", "LangFamily", "lang", listed<LangFamily>()},
  };
}

// Letters and digits in lower case: what is left when spelling conventions are taken away.
std::string bare(std::string_view label) {
  std::string text;
  for (const char c : label)
    if (std::isalnum(static_cast<unsigned char>(c)) != 0)
      text += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

Labels labels_in_facts(const Enumeration& enumeration) {
  Labels labels;
  for (const auto& row : facts("enums.tsv")) {
    if (row.at(0) != enumeration.convention) continue;
    const auto value = std::stoi(row.at(1));
    // Codes of finishers are computed from device and generic code, not listed (alert_enums.h).
    if (enumeration.type == "AlertCode" && value > 1801) continue;
    auto label = row.at(2);
    if (label.starts_with(enumeration.prefix)) label.erase(0, enumeration.prefix.size());
    labels[value] = bare(label);
  }
  return labels;
}

// "33 impress" and so on, which a failed comparison can print.
std::vector<std::string> lines(const Labels& labels) {
  std::vector<std::string> list;
  for (const auto& [value, label] : labels) list.push_back(std::to_string(value) + " " + label);
  return list;
}

// The enumerators as the headers spell them, by type and value.
std::map<std::string, Labels> enumerators_in_headers() {
  std::map<std::string, Labels> types;
  for (const auto* file : {"enums.h", "alert_enums.h", "channel_enums.h"}) {
    std::ifstream header(std::string(FRISKET_SOURCE_DIR) + "/probes/model/" + file);
    REQUIRE(header);
    std::string type;
    std::smatch found;
    for (std::string line; std::getline(header, line);) {
      if (std::regex_search(line, found, std::regex("^enum class (\\w+)"))) type = found[1];
      if (std::regex_search(line, found, std::regex("^  (\\w+) = (\\d+),$")))
        types[type][std::stoi(found[2])] = found[1];
    }
  }
  return types;
}

TEST_CASE("every enumeration has exactly the values of the standard, under the standard's labels") {
  for (const auto& enumeration : enumerations()) {
    INFO(enumeration.convention);
    Labels ours;
    for (const auto& row : enumeration.rows) ours[row.value] = bare(row.label);
    const auto standard = labels_in_facts(enumeration);
    CHECK_FALSE(standard.empty());
    CHECK(lines(ours) == lines(standard));
  }
}

TEST_CASE("every enumerator of the headers has the value that its label has") {
  const auto headers = enumerators_in_headers();
  for (const auto& enumeration : enumerations()) {
    INFO(enumeration.type);
    Labels listed_labels;
    for (const auto& row : enumeration.rows) {
      std::string name(row.label);
      std::ranges::replace(name, '-', '_');
      listed_labels[row.value] = name;
    }
    CHECK(lines(headers.at(enumeration.type)) == lines(listed_labels));
  }
}

TEST_CASE("rows are in order of value, so that they can be searched") {
  for (const auto& enumeration : enumerations()) {
    INFO(enumeration.type);
    CHECK(std::ranges::is_sorted(enumeration.rows, {}, &EnumName::value));
  }
}

TEST_CASE("labels are keywords: lower case, digits, hyphens") {
  const std::regex keyword("[a-z][a-z0-9]*(-[a-z0-9]+)*");
  for (const auto& enumeration : enumerations())
    for (const auto& row : enumeration.rows) {
      INFO(enumeration.type << " " << row.label);
      CHECK(std::regex_match(std::string(row.label), keyword));
    }
}

// The registry of 2019-07-08 and later lists more: they must survive.
TEST_CASE("a value that no edition lists survives and is shown as a number") {
  for (const auto& enumeration : enumerations())
    for (const std::int32_t value : {INT32_MIN, -1, 0, 99999, INT32_MAX}) {
      CHECK_FALSE(find_label(enumeration.rows, value));
      CHECK(label_or_number(enumeration.rows, value) == "unknown(" + std::to_string(value) + ")");
    }
  CHECK(label(static_cast<AlertCode>(30203)) == "unknown(30203)");
  CHECK(label(static_cast<AlertSeverity>(2)) == "unknown(2)");  // RFC 3805: value 2 does not exist
}

TEST_CASE("a value that is listed is shown by its label") {
  CHECK(label(AlertCode::input_media_tray_missing) == "input-media-tray-missing");
  CHECK(label(LangFamily::im_press) == "im-press");
  CHECK(label(SupplyType::waste_toner) == "waste-toner");
  CHECK(find_label(listed<AlertGroup>(), 8) == "input");
}

}  // namespace
}  // namespace frisket::model
