// The parts of a [[hook]]. Private to the layer.
#pragma once

#include "config/sections.h"

namespace frisket::config {

// Whom it is told of, and when: the keys that every type has.
void read_hook_filters(Reading& reading, Section& section, Hook& hook);

// Where it tells: the keys of one type. A missing one is a finding.
void read_webhook(Reading& reading, Section& section, WebhookReceiver& webhook);
void read_mail(Reading& reading, Section& section, MailReceiver& mail);
void read_syslog(Reading& reading, Section& section, SyslogReceiver& syslog);

std::vector<std::string> texts(std::vector<Entry> entries);

}  // namespace frisket::config
