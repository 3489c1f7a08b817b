#include "daemon/hooks/environment.h"

#include <algorithm>
#include <string_view>

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

std::vector<std::string> environment_for(const config::Hook& hook, const incidents::Transition& transition) {
  std::vector<std::string> environment = {"PATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin",
                                          "LANG=C.UTF-8"};
  const auto add = [&](std::string_view name, std::string_view value) {
    if (is_safe(value)) environment.push_back("FRISKET_" + std::string(name) + "=" + std::string(value));
  };
  const auto& incident = transition.incident;
  add("HOOK", hook.name);
  add("NOTICE", incidents::to_text(transition.what));
  add("INCIDENT", incident.id);
  add("KIND", incident.kind);
  add("SEVERITY", model::to_text(incident.severity));
  add("SITE", incident.site);
  add("DEVICE", incident.device.value_or(""));
  return environment;
}

}  // namespace frisket::hooks
