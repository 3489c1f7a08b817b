// The target of a request, taken apart and percent-decoded. Pure.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "probes/model/result.h"

namespace frisket::http {

struct Target {
  std::optional<std::string> authority;                    // only where the client sent the absolute form
  std::string path;                                        // as sent, without the query
  std::vector<std::string> segments;                       // decoded one by one, so "%2F" stays inside its segment
  std::vector<std::pair<std::string, std::string>> query;  // decoded, '+' is a space
};

// Understands the origin form and the absolute form (RFC 9112 section 3.2). Invalid is what is
// no such target, what is wrongly percent-encoded, what decodes to control characters
// or to anything but UTF-8, and what has more than 32 parameters. Dot segments and empty
// segments stay as they are: they name nothing here.
model::Result<Target> parse_target(std::string_view target);

}  // namespace frisket::http
