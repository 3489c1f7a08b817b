// [notifications].
#include "config/sections.h"

namespace frisket::config {

Notifications read_notifications(Reading& reading) {
  const toml::table absent;
  const auto* table = single(reading.root, "notifications", "notifications", reading.findings);
  Section section(table ? *table : absent, "notifications", reading.findings);
  Notifications notifications;
  // Any address is allowed: whoever reaches it can cause a poll, no more.
  notifications.listen = parse_endpoint(section.text("listen"));
  for (const auto& entry : section.list("credentials"))
    if (reading.credentials.check("notifications.credentials", entry.text, entry.place, reading.findings))
      notifications.credentials.push_back(entry.text);
  notifications.min_interval = section.duration("min_interval");
  notifications.polls_per_second = static_cast<int>(section.integer("polls_per_second"));
  return notifications;
}

}  // namespace frisket::config
