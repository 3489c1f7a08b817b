#include "daemon/service/trusted_certificates.h"

#include <catch2/catch.hpp>
#include <fstream>

#include "temporary_folder.h"

using frisket::service::TrustedCertificates;

namespace {

const std::string kOne(64, 'a');
const std::string kTwo(64, '0');

}  // namespace

TEST_CASE("a certificate that was trusted once is known after a restart") {
  const frisket::TemporaryFolder folder;
  const auto file = folder.path() / "certificates";
  {
    TrustedCertificates fresh(file);
    CHECK_FALSE(fresh.find("printer.example.org:631"));
    fresh.remember("printer.example.org:631", kOne);
    fresh.remember("[2001:db8::1]:631", kTwo);
  }
  const TrustedCertificates again(file);
  CHECK(again.find("printer.example.org:631") == kOne);
  CHECK(again.find("[2001:db8::1]:631") == kTwo);
  CHECK(folder.read("certificates") == "[2001:db8::1]:631 " + kTwo + "\nprinter.example.org:631 " + kOne + "\n");
}

TEST_CASE("a line that a person took out is forgotten at the next reading") {
  const frisket::TemporaryFolder folder;
  const auto file = folder.path() / "certificates";
  TrustedCertificates known(file);
  known.remember("a:631", kOne);
  known.remember("b:631", kTwo);
  std::ofstream(file) << "b:631 " << kTwo << "\n";
  known.read();
  CHECK_FALSE(known.find("a:631"));
  CHECK(known.find("b:631") == kTwo);
}

TEST_CASE("what is no line of this file is left out, and the rest is read") {
  const frisket::TemporaryFolder folder;
  const auto file = folder.path() / "certificates";
  std::ofstream(file) << "\n\na:631\nb:631 xyz\nc:631 " << kOne << " more\nd:631 " << kTwo << "\n"
                      << std::string(5000, 'e');
  const TrustedCertificates known(file);
  for (const auto* endpoint : {"a:631", "b:631", "c:631"}) CHECK_FALSE(known.find(endpoint));
  CHECK(known.find("d:631") == kTwo);
}

TEST_CASE("where nothing can be written it is still known until the end") {
  const frisket::TemporaryFolder folder;
  TrustedCertificates known(folder.path() / "no" / "such" / "folder" / "certificates");
  known.remember("a:631", kOne);
  CHECK(known.find("a:631") == kOne);
}
