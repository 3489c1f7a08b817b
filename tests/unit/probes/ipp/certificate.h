// A self-signed certificate made on the spot, for a TLS server in a test.
#pragma once

#include <openssl/evp.h>
#include <openssl/rsa.h>
#include <openssl/x509.h>

#include <array>
#include <boost/asio/ssl.hpp>
#include <memory>
#include <string>

namespace frisket::testing {

struct Certificate {
  Certificate() {
    key.reset(::EVP_RSA_gen(2048));
    x509.reset(::X509_new());
    ::ASN1_INTEGER_set(::X509_get_serialNumber(x509.get()), 1);
    ::X509_gmtime_adj(::X509_getm_notBefore(x509.get()), 0);
    ::X509_gmtime_adj(::X509_getm_notAfter(x509.get()), 3600);
    ::X509_set_pubkey(x509.get(), key.get());
    ::X509_sign(x509.get(), key.get(), ::EVP_sha256());
  }

  // By another way than the transport's: the digest of the DER octets.
  std::string sha256() const {
    unsigned char* der = nullptr;
    const int length = ::i2d_X509(x509.get(), &der);
    std::array<unsigned char, 32> digest{};
    ::EVP_Digest(der, static_cast<std::size_t>(length), digest.data(), nullptr, ::EVP_sha256(), nullptr);
    ::OPENSSL_free(der);
    std::string hex;
    for (const auto octet : digest) {
      hex += "0123456789abcdef"[octet >> 4];
      hex += "0123456789abcdef"[octet & 15];
    }
    return hex;
  }

  std::unique_ptr<boost::asio::ssl::context> server() const {
    auto context = std::make_unique<boost::asio::ssl::context>(boost::asio::ssl::context::tls_server);
    ::SSL_CTX_use_certificate(context->native_handle(), x509.get());
    ::SSL_CTX_use_PrivateKey(context->native_handle(), key.get());
    return context;
  }

  std::unique_ptr<EVP_PKEY, decltype(&::EVP_PKEY_free)> key{nullptr, &::EVP_PKEY_free};
  std::unique_ptr<X509, decltype(&::X509_free)> x509{nullptr, &::X509_free};
};

}  // namespace frisket::testing
