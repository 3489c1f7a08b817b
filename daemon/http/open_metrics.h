// The text format of OpenMetrics 1.0 (draft-ietf-opsawg-openmetrics-00). Pure.
#pragma once

#include <cstdint>
#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>

namespace frisket::http {

// Labels as they stand between the braces, with their values escaped: a device's texts cannot break out of them.
std::string metric_labels(std::initializer_list<std::pair<std::string_view, std::string_view>> labels);

// One sample's line.
void append_sample(std::string& out, std::string_view name, std::string_view labels, std::uint64_t value);
void append_sample(std::string& out, std::string_view name, std::string_view labels, double value);

class OpenMetrics {
 public:
  // Begins a metric family; all its samples follow before the next one begins. `type` is the specification's word; a
  // family with a unit has that at the end of its name.
  void family(std::string_view name, std::string_view type, std::string_view unit, std::string_view help);

  template <class Value>
  void sample(std::string_view name, std::string_view labels, Value value) {
    append_sample(text_, name, labels, value);
  }

  // Whole lines that were made before.
  void lines(std::string_view made) { text_ += made; }

  // The exposition with its end mark.
  std::string take();

 private:
  std::string text_;
};

}  // namespace frisket::http
