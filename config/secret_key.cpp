#include "config/secret_key.h"

#include "config/secret_file.h"
#include "probes/model/ascii.h"

namespace frisket::config {
namespace {

bool is_secret(std::string_view text, std::size_t shortest) {
  return text.size() >= shortest && text.size() <= kLongestSecret && !model::has_control_characters(text);
}

}  // namespace

std::string secret_from_file(Reading& reading, Section& section, std::string_view key, std::size_t shortest) {
  const auto path = section.text(key);
  if (path.empty()) return {};
  const auto secret = read_secret(reading.resolved(path));
  if (!secret) {
    section.refuse(key, in_quotes(path) + " (" + secret.error().what + ")",
                   "a regular file of 1 to 4096 bytes that can be read");
    return {};
  }
  if (secret->others_may_read)
    section.warn(key, in_quotes(path) + " can be read by everybody on this machine; chmod o-r ends that");
  if (!is_secret(secret->content, shortest)) {
    section.refuse(key, in_quotes(path) + " with content that is not shown",
                   "one line of " + std::to_string(shortest) + " to " + std::to_string(kLongestSecret) +
                       " bytes, without control characters");
    return {};
  }
  return secret->content;
}

}  // namespace frisket::config
