#include "daemon/client/server.h"

#include "daemon/client/display.h"
#include "daemon/client/fields.h"

namespace frisket::client {
namespace {

// "Bad Request: parameter low is 'yes'; allowed: true, false"; empty if the body is no problem document.
std::string problem_words(const std::string& body) {
  const auto problem = parse_json(body);
  if (!problem || !problem->is_object()) return "";
  Shape shape;
  const Fields fields(*problem, "", shape);
  const std::string title = fields.text("title");
  const std::string detail = fields.text("detail");
  if (title.empty() || detail.empty()) return title + detail;
  return title + ": " + detail;
}

model::Error::Kind kind_of(int status) {
  if (status == 401 || status == 403 || status == 429) return model::Error::Kind::refused;
  if (status >= 400 && status < 500) return model::Error::Kind::invalid;
  return model::Error::Kind::nonsense;
}

}  // namespace

model::Error error_of(const Answer& answer, const Server& server) {
  std::string what = "status " + std::to_string(answer.status);
  const std::string words = problem_words(answer.body);
  if (!words.empty()) what += ", " + words;
  if (answer.status == 401) what += " (shown by --token-file FILE)";
  return {.kind = kind_of(answer.status), .doing = "asking " + server.name(), .whom = "", .what = what};
}

std::string percent_encoded(std::string_view text) {
  constexpr std::string_view kUnreserved = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~";
  constexpr char kHex[] = "0123456789ABCDEF";
  std::string out;
  for (const char octet : text) {
    if (kUnreserved.find(octet) != std::string_view::npos) {
      out += octet;
      continue;
    }
    const auto value = static_cast<unsigned char>(octet);
    out += '%';
    out += kHex[value >> 4U];
    out += kHex[value & 0xFU];
  }
  return out;
}

std::string path_with_query(std::string path, const std::vector<std::pair<std::string, std::string>>& query) {
  char separator = '?';
  for (const auto& [name, value] : query) {
    if (value.empty()) continue;
    path += separator;
    path += name + '=' + percent_encoded(value);
    separator = '&';
  }
  return path;
}

}  // namespace frisket::client
