// The page's files, embedded at build time from daemon/http/page/ (page/embed.cmake).
#pragma once

#include <span>
#include <string_view>

namespace frisket::http {

struct PageFile {
  std::string_view name;  // "index.html"
  std::string_view content;
};

std::span<const PageFile> page_files();

}  // namespace frisket::http
