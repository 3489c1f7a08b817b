// The words of a mail. Pure; any thread.
#pragma once

#include <string>
#include <vector>

#include "daemon/hooks/notice_body.h"

namespace frisket::hooks {

std::string mail_subject(const std::vector<Facts>& all, const std::string& hook);
std::string mail_plain(const std::vector<Facts>& all, const std::string& hook);
std::string mail_html(const std::vector<Facts>& all, const std::string& hook);

}  // namespace frisket::hooks
