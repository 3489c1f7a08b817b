#include "daemon/hooks/base64.h"

#include <openssl/evp.h>

namespace frisket::hooks {

std::string base64(std::string_view octets) {
  std::string out(4 * ((octets.size() + 2) / 3) + 1, '\0');  // EVP_EncodeBlock adds a NUL
  const int length =
      EVP_EncodeBlock(reinterpret_cast<unsigned char*>(out.data()),
                      reinterpret_cast<const unsigned char*>(octets.data()), static_cast<int>(octets.size()));
  out.resize(static_cast<std::size_t>(length));
  return out;
}

}  // namespace frisket::hooks
