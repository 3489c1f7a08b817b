#include "daemon/upkeep/spans.h"

#include <algorithm>

namespace frisket::upkeep {

std::vector<Span> joined(std::vector<Span> spans, Span window) {
  std::vector<Span> result;
  std::sort(spans.begin(), spans.end(), [](const Span& a, const Span& b) { return a.from < b.from; });
  for (Span span : spans) {
    span.from = std::max(span.from, window.from);
    span.to = std::min(span.to, window.to);
    if (span.from >= span.to) continue;
    if (!result.empty() && span.from <= result.back().to) {
      result.back().to = std::max(result.back().to, span.to);
    } else {
      result.push_back(span);
    }
  }
  return result;
}

}  // namespace frisket::upkeep
