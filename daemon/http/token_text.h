// Tokens as text, and their hashes. Any thread.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "config/token.h"

namespace frisket::http {

// SHA-256 (FIPS 180-4) of the text.
config::TokenHash hash_of(std::string_view token);

// 32 octets of OpenSSL's generator for private values, in base64url without padding (RFC 4648 section 5): 43
// characters. Nothing if the machine has no randomness to give.
std::optional<std::string> new_token();

}  // namespace frisket::http
