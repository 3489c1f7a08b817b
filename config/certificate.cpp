#include "config/certificate.h"

#include <openssl/bio.h>
#include <openssl/err.h>
#include <openssl/pem.h>
#include <openssl/x509.h>

#include <memory>

namespace frisket::config {
namespace {

template <auto Free>
struct With {
  template <class T>
  void operator()(T* object) const {
    Free(object);
  }
};

using Source = std::unique_ptr<BIO, With<BIO_free>>;
using X509Certificate = std::unique_ptr<X509, With<X509_free>>;
using Key = std::unique_ptr<EVP_PKEY, With<EVP_PKEY_free>>;

Source source_of(const std::string& text) {
  return Source(BIO_new_mem_buf(text.data(), static_cast<int>(text.size())));
}

// Nobody is there to be asked for a pass phrase.
int no_pass_phrase(char*, int, int, void*) { return -1; }

model::Error wrong(std::string what) {
  ERR_clear_error();
  return {model::Error::Kind::invalid, "reading a certificate", "", std::move(what)};
}

}  // namespace

model::Result<model::Done> check(const Certificate& certificate) {
  const auto chain = source_of(certificate.chain);
  const X509Certificate own(PEM_read_bio_X509(chain.get(), nullptr, no_pass_phrase, nullptr));
  if (!own) return wrong("certificate_file has no certificate in PEM");
  const auto key_text = source_of(certificate.key);
  const Key key(PEM_read_bio_PrivateKey(key_text.get(), nullptr, no_pass_phrase, nullptr));
  if (!key) return wrong("key_file has no private key in PEM, or it has a pass phrase");
  if (X509_check_private_key(own.get(), key.get()) != 1)
    return wrong("key_file is not the key of the first certificate in certificate_file");
  ERR_clear_error();
  return model::Done{};
}

}  // namespace frisket::config
