#include "daemon/service/trusted_certificates.h"

#include <spdlog/spdlog.h>

#include <algorithm>
#include <fstream>
#include <sstream>

#include "daemon/service/whole_file.h"

namespace frisket::service {
namespace {

bool is_fingerprint(const std::string& text) {
  return text.size() == 64 && text.find_first_not_of("0123456789abcdef") == text.npos;
}

}  // namespace

TrustedCertificates::TrustedCertificates(std::filesystem::path file) : file_(std::move(file)) { read(); }

void TrustedCertificates::read() {
  known_.clear();
  std::ifstream stream(file_);
  std::string line;
  for (int number = 1; std::getline(stream, line); ++number) {
    std::istringstream words(line);
    std::string endpoint, fingerprint, more;
    words >> endpoint >> fingerprint;
    if (endpoint.empty()) continue;
    if (is_fingerprint(fingerprint) && !(words >> more))
      known_[endpoint] = fingerprint;
    else
      spdlog::warn("[certificates-misread] {} line {}: not \"HOST:PORT FINGERPRINT\", left out", file_.string(),
                   number);
  }
}

std::optional<std::string> TrustedCertificates::find(const std::string& endpoint) const {
  const auto found = known_.find(endpoint);
  if (found == known_.end()) return std::nullopt;
  return found->second;
}

void TrustedCertificates::remember(const std::string& endpoint, const std::string& fingerprint) {
  known_[endpoint] = fingerprint;
  std::string text;
  for (const auto& [at, print] : known_) text += at + " " + print + "\n";
  spdlog::info("[certificate-trusted] {} is trusted from now on by its certificate {}", endpoint, fingerprint);
  if (const auto written = write_whole(file_, text); !written)
    spdlog::error("[certificates-unwritten] {}", written.error().text());
}

}  // namespace frisket::service
