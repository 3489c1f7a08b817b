#include "daemon/http/token_text.h"

#include <openssl/evp.h>
#include <openssl/rand.h>
#include <openssl/sha.h>

#include <array>

namespace frisket::http {

config::TokenHash hash_of(std::string_view token) {
  config::TokenHash hash;
  static_assert(std::tuple_size_v<config::TokenHash> == SHA256_DIGEST_LENGTH);
  SHA256(reinterpret_cast<const unsigned char*>(token.data()), token.size(), hash.data());
  return hash;
}

std::optional<std::string> new_token() {
  std::array<unsigned char, 32> octets;
  if (RAND_priv_bytes(octets.data(), octets.size()) != 1) return std::nullopt;
  std::array<unsigned char, 48> text;  // 4 characters for 3 octets begun, and a NUL
  const int length = EVP_EncodeBlock(text.data(), octets.data(), octets.size());
  std::string token(text.begin(), text.begin() + length);
  token.resize(token.find('='));
  for (auto& c : token) {
    if (c == '+') c = '-';
    if (c == '/') c = '_';
  }
  return token;
}

}  // namespace frisket::http
