// Everything that is found wrong while one file is read. Private to the layer.
#pragma once

#include <cstddef>
#include <filesystem>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "config/loader.h"

namespace frisket::config {

// Counted from 1; 0 where the trouble has no place in the file.
struct Place {
  int line = 0;
  int column = 0;
};

// Collects without end in sight: after kMostFindings only their number is kept, so that a
// file of rubbish costs no more than a screen or two that nobody reads.
class Findings {
 public:
  static constexpr std::size_t kMostFindings = 1000;

  explicit Findings(const std::filesystem::path& file);

  void error(Place place, std::string what) { add(Finding::Gravity::error, place, std::move(what)); }
  void warning(Place place, std::string what) { add(Finding::Gravity::warning, place, std::move(what)); }

  // In order of place, errors and warnings mixed as they come in the file.
  std::vector<Finding> take();

 private:
  void add(Finding::Gravity gravity, Place place, std::string what);

  std::string file_;
  std::vector<Finding> found_;
  std::size_t more_errors_ = 0;
  std::size_t more_warnings_ = 0;
};

// The candidate that a mistyped word most likely stands for, or nothing if none is near.
// Does not look through more than a few hundred candidates. The view is into candidates.
std::string_view closest(std::string_view word, std::span<const std::string_view> candidates);

// `; did you mean "poll_interval"?` or nothing, to be put behind a complaint.
std::string suggestion(std::string_view word, std::span<const std::string_view> candidates);

// `"soon"`: what stands in the file, on one line, free of control characters, shortened.
std::string in_quotes(std::string_view found);

// `"a", "b" or "c"`.
std::string any_of(std::span<const std::string_view> words);

}  // namespace frisket::config
