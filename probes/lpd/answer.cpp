#include "probes/lpd/answer.h"

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include "probes/model/ascii.h"
#include "probes/model/text.h"

namespace frisket::lpd {
namespace {

using model::QueueReach;
using Words = std::vector<std::string_view>;

constexpr std::size_t kMaxLines = 2000;

// What a text does not hold: everything below a blank but the ways to move on, and DEL.
bool is_text(std::string_view octets) {
  return std::ranges::none_of(octets, [](char c) {
    const auto octet = static_cast<unsigned char>(c);
    return octet == 0x7F || (octet < 0x20 && (octet < '\t' || octet > '\r'));
  });
}

std::vector<std::string> tidy_lines(std::string_view octets) {
  std::vector<std::string> lines;
  model::TextDecoder decoder;
  while (!octets.empty() && lines.size() < kMaxLines) {
    const auto end = octets.find('\n');
    auto line = decoder.decode(octets.substr(0, end), model::Charset::unknown);
    if (!line.empty()) lines.push_back(std::move(line));
    octets = end == std::string_view::npos ? std::string_view{} : octets.substr(end + 1);
  }
  return lines;
}

Words words_of(std::string_view line) {
  Words words;
  while (!line.empty()) {
    const auto end = line.find(' ');
    if (end != 0) words.push_back(line.substr(0, end));
    line = end == std::string_view::npos ? std::string_view{} : line.substr(end + 1);
  }
  return words;
}

bool is_number(std::string_view word) {
  return !word.empty() && word.size() <= 18 && std::ranges::all_of(word, [](char c) { return c >= '0' && c <= '9'; });
}

bool is_rank(std::string_view word) {
  if (word == "active") return true;
  if (word.size() < 3 || !is_number(word.substr(0, word.size() - 2))) return false;
  const auto ending = word.substr(word.size() - 2);
  return ending == "st" || ending == "nd" || ending == "rd" || ending == "th";
}

bool ends_with_size(const Words& words) {
  return words.size() >= 2 && words.back() == "bytes" && is_number(words[words.size() - 2]);
}

// The short form's row: rank, owner, job, files, size. Owners and files may hold blanks, or be withheld.
bool is_row(const Words& words) {
  return words.size() >= 4 && is_rank(words.front()) && ends_with_size(words) &&
         std::any_of(words.begin() + 1, words.end() - 2, is_number);
}

// The long form's file: "list.txt 100 bytes", from Berkeley's server with " -- " and a date behind it.
bool is_file(Words words) {
  const auto remark = std::ranges::find(words, std::string_view("--"));
  words.erase(remark, words.end());
  return ends_with_size(words);
}

// The long form's description: "moss: 1st [job 17 fernhouse]". Some servers write number and host without a blank
// between.
bool is_description(const Words& words) {
  const auto job = std::ranges::find(words, std::string_view("[job"));
  if (words.end() - job < 2 || job - words.begin() < 2) return false;
  const auto& owner = *(job - 2);
  const auto& number = *(job + 1);
  return is_rank(*(job - 1)) && owner.ends_with(':') && number.front() >= '0' && number.front() <= '9' &&
         words.back().ends_with(']');
}

bool is_heading(const Words& words) { return words.size() >= 3 && words[0] == "Rank" && words[1] == "Owner"; }

// The lines that speak of the queue and not of a job.
std::size_t end_of_preface(const std::vector<std::string>& lines) {
  const auto first_job = std::ranges::find_if(lines, [](const auto& line) {
    const auto words = words_of(line);
    return is_row(words) || is_description(words) || is_heading(words);
  });
  return static_cast<std::size_t>(first_job - lines.begin());
}

// A text is in one of the forms. In the long one nothing but descriptions counts: the name of a file may look like a
// row.
std::optional<std::int32_t> jobs_in(const std::vector<std::string>& lines) {
  std::int32_t rows = 0;
  std::int32_t descriptions = 0;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const auto words = words_of(lines[i]);
    if (is_row(words)) ++rows;
    if (is_description(words) && i + 1 < lines.size() && is_file(words_of(lines[i + 1]))) ++descriptions;
  }
  if (descriptions > 0) return descriptions;
  if (rows > 0) return rows;
  if (std::ranges::find(lines, "no entries") != lines.end()) return 0;
  return std::nullopt;
}

// The first line that holds one of the phrases, or null.
template <std::size_t N>
const std::string* saying(const std::vector<std::string>& lines, std::size_t end,
                          const std::array<std::string_view, N>& phrases) {
  const auto says = [&](const std::string& line) {
    const auto lower = model::in_lower_case(line);
    return std::ranges::any_of(phrases, [&](auto phrase) { return lower.find(phrase) != std::string::npos; });
  };
  const auto last = lines.begin() + static_cast<std::ptrdiff_t>(end);
  const auto found = std::find_if(lines.begin(), last, says);
  return found != last ? &*found : nullptr;
}

// Phrases marked S were seen from a server of today, the others are Berkeley's, from memory; no standard has any of
// them.
constexpr std::array<std::string_view, 4> kNotAccepting = {"queue is turned off" /* B */, "queuing is disabled",
                                                           "queueing is disabled", "not accepting"};
constexpr std::array<std::string_view, 2> kAccepting = {"is accepting jobs", "is accepting requests"};
constexpr std::array<std::string_view, 2> kAbsent = {"unknown printer" /* B */, "unable to get printer" /* S */};
constexpr std::array<std::string_view, 2> kRefused = {"not have line printer access" /* B */, "permission denied"};
constexpr std::array<std::string_view, 1> kNobodyBehind = {"unable to connect to server" /* S */};

void settle(model::LpdReading& reading, QueueReach reach, std::string detail) {
  reading.reach = reach;
  reading.detail = std::move(detail);
}

}  // namespace

void understand(std::string_view octets, model::LpdReading& reading) {
  if (octets.empty()) return settle(reading, QueueReach::silent, "the connection was closed without an answer");
  if (!is_text(octets)) return settle(reading, QueueReach::nonsense, "its answer is not text");
  auto lines = tidy_lines(octets);
  const auto preface = end_of_preface(lines);
  if (preface == lines.size()) {  // no job: only then is it a refusal
    if (const auto* line = saying(lines, preface, kAbsent)) return settle(reading, QueueReach::absent, *line);
    if (const auto* line = saying(lines, preface, kRefused)) return settle(reading, QueueReach::refused, *line);
    if (const auto* line = saying(lines, preface, kNobodyBehind)) return settle(reading, QueueReach::silent, *line);
  }
  reading.reach = QueueReach::answered;
  reading.jobs_listed = jobs_in(lines);
  if (saying(lines, preface, kNotAccepting) != nullptr) {
    reading.accepting = false;
  } else if (saying(lines, preface, kAccepting) != nullptr) {
    reading.accepting = true;
  }
  reading.personal.lines = std::move(lines);
}

}  // namespace frisket::lpd
