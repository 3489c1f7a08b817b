// The keys that say where an IPP service is and how it is asked. Private to the layer.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "config/sections.h"

namespace frisket::config {

// The target that the URI under `key` names. What is no such URI is a finding; nothing then, or where the key is
// absent.
std::optional<model::IppTarget> ipp_target_from(Section& section, std::string_view key);

// The same of the key's text, where it has been read.
std::optional<model::IppTarget> ipp_target_in(Section& section, std::string_view key, const std::string& uri);

// For a message: in quotes, unless a password may be in it.
std::string shown_uri(const std::string& uri);

// Adds what "certificate" says, to a target over TLS.
void read_certificate(Section& section, model::IppTarget& target);

// Adds "certificate", "user" and "password_file".
void read_ipp_rights(Reading& reading, Section& section, model::IppTarget& target);

}  // namespace frisket::config
