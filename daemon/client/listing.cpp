#include "daemon/client/listing.h"

namespace frisket::client {
namespace {

// Enough for a million items at the daemon's usual thousand a part.
constexpr int kMaxParts = 1000;

model::Error nonsense(const Server& server, const std::string& what) {
  return {.kind = model::Error::Kind::nonsense, .doing = "asking " + server.name(), .whom = "", .what = what};
}

model::Result<Json> document_in(const model::Result<Answer>& answer, const Server& server) {
  if (!answer) return answer.error();
  if (answer->status != 200) return error_of(*answer, server);
  auto document = parse_json(answer->body);
  if (!document) return nonsense(server, document.error().text());
  return document;
}

}  // namespace

model::Result<Json> get_document(Server& server, const std::string& path) {
  return document_in(server.get(path), server);
}

model::Result<Json> post_document(Server& server, const std::string& path, const Json& document) {
  constexpr auto kReplace = Json::error_handler_t::replace;  // what the command line gave may not be UTF-8
  return document_in(server.post(path, document.dump(-1, ' ', false, kReplace)), server);
}

model::Result<Json> get_list(Server& server, const std::string& path,
                             std::vector<std::pair<std::string, std::string>> query) {
  Json whole;
  query.emplace_back("after", "");
  for (int part = 0; part < kMaxParts; ++part) {
    auto document = get_document(server, path_with_query(path, query));
    if (!document) return document.error();
    const bool is_list = document->is_object() && document->contains("items") && (*document)["items"].is_array();
    if (!is_list) return nonsense(server, path + " is not a list");
    const Json next = document->value("next", Json());
    if (!next.is_null() && !next.is_string()) return nonsense(server, "the next of " + path + " is not a text");
    if (part == 0) {
      whole = std::move(*document);
    } else {
      for (Json& item : (*document)["items"]) whole["items"].push_back(std::move(item));
    }
    whole["next"] = nullptr;
    if (next.is_null()) return whole;
    const std::string after = next.get<std::string>();
    if (after.empty() || after == query.back().second)
      return nonsense(server, "the next of " + path + " leads nowhere");
    query.back().second = after;
  }
  return nonsense(server, path + " does not end");
}

}  // namespace frisket::client
