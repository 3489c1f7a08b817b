// A notice as a syslog message: RFC 5424, with the alarm of RFC 5674 and our own fields as structured data.
//
// Pure; any thread.
#pragma once

#include <string>

#include "daemon/incidents/notice.h"

namespace frisket::hooks {

// Without framing. `host` is this machine's name; what is no printable ASCII in it makes it "-".
std::string syslog_message(int facility, const std::string& host, const incidents::Notice& notice);

// RFC 6587 section 3.4.1, RFC 5425 section 4.3: the number of octets, a space, the message.
std::string counted_frame(const std::string& message);

}  // namespace frisket::hooks
