#include "daemon/http/open_metrics.h"

#include <charconv>

namespace frisket::http {
namespace {

void append_escaped(std::string& out, std::string_view text) {
  for (const char c : text) {
    if (c == '\n') {
      out += "\\n";
      continue;
    }
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
}

template <class Value>
void append_line(std::string& out, std::string_view name, std::string_view labels, Value value) {
  char digits[32];
  const auto end = std::to_chars(digits, digits + sizeof digits, value).ptr;
  out += name;
  if (!labels.empty()) out.append(1, '{').append(labels).append(1, '}');
  out.append(1, ' ').append(digits, end).append(1, '\n');
}

}  // namespace

std::string metric_labels(std::initializer_list<std::pair<std::string_view, std::string_view>> labels) {
  std::string text;
  for (const auto& [name, value] : labels) {
    if (!text.empty()) text += ',';
    text.append(name).append("=\"");
    append_escaped(text, value);
    text += '"';
  }
  return text;
}

void append_sample(std::string& out, std::string_view name, std::string_view labels, std::uint64_t value) {
  append_line(out, name, labels, value);
}

void append_sample(std::string& out, std::string_view name, std::string_view labels, double value) {
  append_line(out, name, labels, value);
}

void OpenMetrics::family(std::string_view name, std::string_view type, std::string_view unit, std::string_view help) {
  text_.append("# TYPE ").append(name).append(1, ' ').append(type).append(1, '\n');
  if (!unit.empty()) text_.append("# UNIT ").append(name).append(1, ' ').append(unit).append(1, '\n');
  text_.append("# HELP ").append(name).append(1, ' ');
  append_escaped(text_, help);
  text_ += '\n';
}

std::string OpenMetrics::take() {
  text_ += "# EOF\n";
  return std::move(text_);
}

}  // namespace frisket::http
