// A notice as a mail: one part of plain text, one of HTML, the same words in both.
//
// RFC 5322 (message), 2045 and 2046 (parts, in base64), 2047 (subject), 3834 (Auto-Submitted). All mails of
// one incident are one conversation: each refers to an id made of the incident and the hook. What comes from a device
// is one line in a header and escaped in HTML. Pure; any thread.
#pragma once

#include <string>
#include <vector>

#include "config/hook.h"
#include "daemon/incidents/notice.h"

namespace frisket::hooks {

// With CRLF line ends, for SMTP. Several notices (a digest) become one mail.
std::string mail_message(const config::Hook& hook, const std::vector<incidents::Notice>& notices, model::WallTime now);

// "Subject: " and the text, folded, in encoded words (RFC 2047) where it is not plain ASCII.
std::string subject_header(const std::string& text);

}  // namespace frisket::hooks
