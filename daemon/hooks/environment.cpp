#include "daemon/hooks/environment.h"

#include <algorithm>
#include <string_view>

#include "daemon/hooks/notice_body.h"

namespace frisket::hooks {
namespace {

constexpr std::size_t kLongestValue = 255;

bool is_safe(std::string_view value) {
  return !value.empty() && value.size() <= kLongestValue && std::ranges::all_of(value, [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '.' || c == '-' ||
           c == '_' || c == ':';
  });
}

}  // namespace

std::vector<std::string> base_environment() {
  return {"PATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin", "LANG=C.UTF-8"};
}

std::vector<std::string> environment_for(const std::vector<incidents::Notice>& notices) {
  auto environment = base_environment();
  const auto add = [&](std::string_view name, std::string_view value) {
    if (is_safe(value)) environment.push_back("FRISKET_" + std::string(name) + "=" + std::string(value));
  };
  const auto& first = notices.front();
  add("HOOK", first.hook);
  if (notices.size() > 1) {
    add("NOTICE", "digest");
    return environment;
  }
  const auto facts = facts_of(first);
  add("NOTICE", facts.notice);
  add("NOTICE_ID", first.id);
  add("REASON", to_text(first.reason));
  add("INCIDENT", facts.incident);
  if (facts.incident.empty()) return environment;
  add("KIND", facts.kind);
  add("SEVERITY", model::to_text(facts.severity));
  add("SITE", facts.site);
  add("DEVICE", facts.device);
  return environment;
}

}  // namespace frisket::hooks
