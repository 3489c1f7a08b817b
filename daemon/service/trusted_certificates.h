// The certificates that print services showed at first use, over restarts.
//
// A service whose certificate is another one later is refused, until its line is taken out of the file or the
// configuration pins the new one. The file has a line for each service: "HOST:PORT SHA-256-IN-HEXADECIMAL". On the
// io_context's thread.
#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string>

namespace frisket::service {

class TrustedCertificates {
 public:
  // The file need not exist yet. A line that is no such line is left out, and named in the log.
  explicit TrustedCertificates(std::filesystem::path file);

  // Reads the file again, as a person may have taken a line out.
  void read();

  std::optional<std::string> find(const std::string& endpoint) const;

  // If the file cannot be written, the log says so, and it is known until the daemon ends.
  void remember(const std::string& endpoint, const std::string& fingerprint);

 private:
  std::filesystem::path file_;
  std::map<std::string, std::string> known_;
};

}  // namespace frisket::service
