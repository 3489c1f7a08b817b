// RFC 4648 section 4, without line breaks. Pure; any thread.
#pragma once

#include <string>
#include <string_view>

namespace frisket::hooks {

std::string base64(std::string_view octets);

}  // namespace frisket::hooks
