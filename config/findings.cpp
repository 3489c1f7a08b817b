#include "config/findings.h"

#include <algorithm>
#include <numeric>
#include <tuple>
#include <utility>

#include "probes/model/text.h"

namespace frisket::config {
namespace {

constexpr std::size_t kMostShown = 80;        // bytes of what was found
constexpr std::size_t kMostCompared = 64;     // bytes of a word for which a suggestion is looked for
constexpr std::size_t kMostCandidates = 256;  // names among which it is looked for

// Levenshtein's distance, one row at a time.
std::size_t distance(std::string_view left, std::string_view right) {
  std::vector<std::size_t> row(right.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 0; i < left.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i + 1;
    for (std::size_t j = 0; j < right.size(); ++j) {
      const std::size_t replaced = diagonal + (left[i] == right[j] ? 0 : 1);
      diagonal = row[j + 1];
      row[j + 1] = std::min({row[j] + 1, row[j + 1] + 1, replaced});
    }
  }
  return row.back();
}

}  // namespace

Findings::Findings(const std::filesystem::path& file) : file_(file.string()) {}

void Findings::add(Finding::Gravity gravity, Place place, std::string what) {
  if (found_.size() >= kMostFindings) {
    ++(gravity == Finding::Gravity::error ? more_errors_ : more_warnings_);
    return;
  }
  found_.push_back({gravity, file_, place.line, place.column, std::move(what)});
}

std::vector<Finding> Findings::take() {
  std::ranges::stable_sort(found_, {}, [](const Finding& finding) { return std::pair(finding.line, finding.column); });
  const auto say_more = [&](std::size_t count, Finding::Gravity gravity, std::string_view word) {
    if (count > 0)
      found_.push_back({gravity, file_, 0, 0, "and " + std::to_string(count) + " more " + std::string(word)});
  };
  say_more(std::exchange(more_errors_, 0), Finding::Gravity::error, "errors");
  say_more(std::exchange(more_warnings_, 0), Finding::Gravity::warning, "warnings");
  return std::exchange(found_, {});
}

std::string_view closest(std::string_view word, std::span<const std::string_view> candidates) {
  if (word.empty() || word.size() > kMostCompared) return {};
  std::size_t nearest = std::max<std::size_t>(1, word.size() / 3) + 1;  // further away is no mistyping
  std::string_view best;
  for (const auto candidate : candidates.first(std::min(candidates.size(), kMostCandidates))) {
    const auto gap = candidate.size() > word.size() ? candidate.size() - word.size() : word.size() - candidate.size();
    if (gap >= nearest) continue;
    const auto steps = distance(word, candidate);
    if (steps >= nearest) continue;
    nearest = steps;
    best = candidate;
  }
  return best;
}

std::string suggestion(std::string_view word, std::span<const std::string_view> candidates) {
  const auto near = closest(word, candidates);
  return near.empty() ? std::string{} : "; did you mean " + in_quotes(near) + "?";
}

std::string in_quotes(std::string_view found) {
  std::string shown = model::decode_text(found, model::Charset::utf8, kMostShown);
  if (found.size() > kMostShown && shown.size() + 4 > kMostShown) shown += "...";
  return '"' + shown + '"';
}

std::string any_of(std::span<const std::string_view> words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) text += i + 1 == words.size() ? " or " : ", ";
    text += in_quotes(words[i]);
  }
  return text;
}

}  // namespace frisket::config
