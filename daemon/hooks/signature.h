// The signature of a webhook's notice (docs/hooks.md). Pure; any thread.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace frisket::hooks {

// "v1=" and the HMAC-SHA-256 (RFC 2104, FIPS 180-4) of "SECONDS.BODY", in lower-case hexadecimal.
std::string signature_of(std::string_view secret, std::int64_t unix_seconds, std::string_view body);

}  // namespace frisket::hooks
