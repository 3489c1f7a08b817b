#include "daemon/hooks/signature.h"

#include <openssl/evp.h>
#include <openssl/hmac.h>

#include <array>

namespace frisket::hooks {

std::string signature_of(std::string_view secret, std::int64_t unix_seconds, std::string_view body) {
  constexpr std::string_view kDigits = "0123456789abcdef";
  const auto text = std::to_string(unix_seconds) + "." + std::string(body);
  std::array<unsigned char, EVP_MAX_MD_SIZE> code{};
  unsigned int length = 0;
  HMAC(EVP_sha256(), secret.data(), static_cast<int>(secret.size()),
       reinterpret_cast<const unsigned char*>(text.data()), text.size(), code.data(), &length);
  std::string signature = "v1=";
  for (unsigned int i = 0; i < length; ++i) {
    signature += kDigits[code.at(i) >> 4U];
    signature += kDigits[code.at(i) & 15U];
  }
  return signature;
}

}  // namespace frisket::hooks
