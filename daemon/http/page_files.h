// The page's files, embedded at build time from daemon/http/page/ (page/embed.cmake).
#pragma once

#include <span>
#include <string_view>

namespace frisket::http {

struct PageFile {
  std::string_view name;  // "index.html"
  std::string_view content;
  std::string_view tag;  // its strong entity tag, quotes included: of its SHA-256, worked out when it was embedded
};

std::span<const PageFile> page_files();

// The one document of GET /v1/openapi.json, from daemon/http/openapi/.
std::span<const PageFile> openapi_files();

}  // namespace frisket::http
