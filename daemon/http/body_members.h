// The members of a request's JSON body, read strictly: what means nothing here is refused and said. Pure.
#pragma once

#include <initializer_list>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "daemon/http/message.h"
#include "probes/model/result.h"

namespace frisket::http {

// An error of kind invalid, for the detail of a problem.
model::Error wrong_body(std::string what);

// The body as an object without members other than these.
model::Result<nlohmann::json> body_of(const Request& request, std::initializer_list<std::string_view> members);

// A member's text, at most incidents::kLongestSaying bytes; empty where there is none or it is null.
model::Result<std::string> text_in(const nlohmann::json& body, const char* name);

// False where there is none or it is null.
model::Result<bool> flag_in(const nlohmann::json& body, const char* name);

}  // namespace frisket::http
