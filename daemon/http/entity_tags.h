// Entity tags and the conditional request (RFC 9110 sections 8.8.3 and 13.1.2). Pure.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "daemon/http/message.h"

namespace frisket::http {

// Marks the answer with a tag; a cache of the asker's own may then keep it, and asks each time whether it still holds.
Response tagged(Response response, std::string tag);

// Whether one of the If-None-Match fields names the tag, or is "*". Tags are compared weakly. A field that cannot be
// read names nothing.
bool names_tag(std::span<const std::string> if_none_match, std::string_view tag);

// The answer to a GET or HEAD, or 304 in its place if the asker has it already.
Response unless_known(Response response, std::span<const std::string> if_none_match);

}  // namespace frisket::http
