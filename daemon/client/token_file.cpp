#include "daemon/client/token_file.h"

#include <algorithm>
#include <cerrno>
#include <filesystem>
#include <fstream>
#include <system_error>

namespace frisket::client {
namespace {

constexpr std::size_t kLargest = 4096;

model::Error failure(model::Error::Kind kind, const std::string& file, std::string what) {
  return {.kind = kind, .doing = "reading the token", .whom = file, .what = std::move(what)};
}

}  // namespace

model::Result<std::string> token_in(const std::string& file) {
  std::error_code error;
  const auto status = std::filesystem::status(file, error);
  if (error) return failure(model::Error::Kind::local, file, error.message());
  if (!std::filesystem::is_regular_file(status)) return failure(model::Error::Kind::local, file, "not a regular file");
  std::ifstream stream(file, std::ios::binary);
  if (!stream) return failure(model::Error::Kind::local, file, std::generic_category().message(errno));
  std::string content(kLargest + 1, '\0');
  stream.read(content.data(), static_cast<std::streamsize>(content.size()));
  content.resize(static_cast<std::size_t>(stream.gcount()));
  if (content.ends_with('\n')) content.pop_back();
  if (content.ends_with('\r')) content.pop_back();
  const bool visible = std::ranges::all_of(content, [](char c) { return c > ' ' && c < '\x7f'; });
  if (content.empty() || content.size() > kLargest || !visible)
    return failure(model::Error::Kind::invalid, file, "it must hold one token and nothing else");
  return content;
}

}  // namespace frisket::client
