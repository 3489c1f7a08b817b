#include "daemon/incidents/queue_agreement.h"

#include <algorithm>
#include <array>
#include <set>

#include "probes/model/ascii.h"
#include "probes/model/channel_enums.h"
#include "probes/model/identity.h"

namespace frisket::incidents {
namespace {

using Words = std::set<std::string>;

// Letters and digits in lower case; everything else parts words. Octets beyond ASCII count as letters.
Words words_of(std::string_view text) {
  Words words;
  std::string word;
  for (const char c : model::in_lower_case(text) + " ") {
    const auto octet = static_cast<unsigned char>(c);
    if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || octet >= 0x80) {
      word += c;
    } else if (!word.empty()) {
      words.insert(std::move(word));
      word.clear();
    }
  }
  return words;
}

bool has_digit(const std::string& word) {
  return std::ranges::any_of(word, [](char c) { return c >= '0' && c <= '9'; });
}

// Names of page description languages with their versions, and of drivers for no printer in particular.
bool names_no_model(const std::string& word) {
  constexpr std::array<std::string_view, 9> kLanguages = {"pcl5", "pcl5c", "pcl5e",  "pcl6",   "pclxl",
                                                          "ps2",  "ps3",   "600dpi", "1200dpi"};
  if (std::ranges::find(kLanguages, word) != kLanguages.end()) return true;
  // "2", "v4", "1.2": versions.
  return std::ranges::count_if(word, [](char c) { return c >= '0' && c <= '9'; }) == 1 && word.size() < 3;
}

Words models_in(std::string_view text) {
  auto words = words_of(text);
  std::erase_if(words, [](const std::string& word) { return !has_digit(word) || names_no_model(word); });
  return words;
}

bool share_a_word(const Words& a, const Words& b) {
  return std::ranges::any_of(a, [&](const std::string& word) { return b.contains(word); });
}

// "MX 410" and "MX410" are one model.
std::string squeezed(std::string_view text) {
  std::string in_order;
  for (const char c : model::in_lower_case(text))
    if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || static_cast<unsigned char>(c) >= 0x80) in_order += c;
  return in_order;
}

bool is_generic(std::string_view make_and_model) {
  constexpr std::array<std::string_view, 5> kGeneric = {"generic", "raw", "everywhere", "driverless", "text"};
  const auto words = words_of(make_and_model);
  return std::ranges::any_of(kGeneric, [&](std::string_view word) { return words.contains(std::string(word)); });
}

std::string quoted(std::string_view text) { return "\"" + std::string(text) + "\""; }

std::optional<std::string> other_model(const model::QueueSnapshot& queue, const model::Identity& device) {
  if (device.model.empty()) return std::nullopt;
  const auto id = model::parse_device_id(queue.device_id);
  if (!id.model.empty() && squeezed(id.model) != squeezed(device.model) &&
      squeezed(device.model).find(squeezed(id.model)) == std::string::npos &&
      squeezed(id.model).find(squeezed(device.model)) == std::string::npos)
    return "the queue's printer-device-id names " + quoted(id.model) + ", the device is a " + quoted(device.model);
  if (is_generic(queue.make_and_model)) return std::nullopt;
  const auto meant = models_in(queue.make_and_model);
  const auto is = models_in(device.model);
  if (meant.empty() || is.empty() || share_a_word(meant, is)) return std::nullopt;
  if (squeezed(queue.make_and_model).find(squeezed(device.model)) != std::string::npos) return std::nullopt;
  return "the queue's printer-make-and-model is " + quoted(queue.make_and_model) + ", the device is a " +
         quoted(device.model);
}

struct Language {
  std::string_view name;
  std::array<std::string_view, 3> driver_words;  // in make-and-model
  std::string_view families;                     // how the labels of PrtInterpreterLangFamilyTC that have it begin
};

constexpr std::array<Language, 2> kLanguages = {{
    {"PostScript", {"postscript", "ps3", "ps"}, "ps"},
    {"PCL", {"pcl", "pcl5", "pcl6"}, "pcl"},
}};

// An interpreter that picks the language itself, or does not say which it has, may have any.
bool may_have(const model::Interpreter& interpreter, std::string_view families) {
  const auto family = model::label(interpreter.family);
  return family.starts_with(families) || family == "automatic" || family == "other" || family.starts_with("unknown");
}

std::optional<std::string> other_language(const model::QueueSnapshot& queue, const model::DeviceSnapshot& device) {
  if (device.interpreters.empty()) return std::nullopt;
  const auto words = words_of(queue.make_and_model);
  for (const auto& language : kLanguages) {
    const bool spoken = std::ranges::any_of(language.driver_words,
                                            [&](std::string_view word) { return words.contains(std::string(word)); });
    if (!spoken) continue;
    const bool understood = std::ranges::any_of(
        device.interpreters, [&](const model::Interpreter& one) { return may_have(one, language.families); });
    if (!understood)
      return "the queue's driver (" + quoted(queue.make_and_model) + ") speaks " + std::string(language.name) +
             ", which is none of the device's languages";
  }
  return std::nullopt;
}

}  // namespace

std::optional<std::string> driver_mismatch(const model::QueueSnapshot& queue, const model::DeviceSnapshot& device) {
  if (auto why = other_model(queue, model::identity_of(device))) return why;
  return other_language(queue, device);
}

std::optional<std::string> location_mismatch(std::string_view queue_location, std::string_view other) {
  const auto a = words_of(queue_location);
  const auto b = words_of(other);
  if (a.empty() || b.empty()) return std::nullopt;
  // One says more than the other, or each something of its own beside what they share: nothing definite. Different
  // floors and rooms share too little.
  const auto shared =
      static_cast<std::size_t>(std::ranges::count_if(a, [&](const std::string& word) { return b.contains(word); }));
  if (shared == std::min(a.size(), b.size())) return std::nullopt;
  return quoted(queue_location) + " and " + quoted(other) + " are different places";
}

std::optional<std::string> disagreement(const model::QueueSnapshot& one, const model::QueueSnapshot& other) {
  if (!is_generic(one.make_and_model) && !is_generic(other.make_and_model)) {
    const auto a = models_in(one.make_and_model);
    const auto b = models_in(other.make_and_model);
    if (!a.empty() && !b.empty() && !share_a_word(a, b))
      return "one is for " + quoted(one.make_and_model) + ", the other for " + quoted(other.make_and_model);
  }
  return location_mismatch(one.location, other.location);
}

}  // namespace frisket::incidents
