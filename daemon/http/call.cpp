#include "daemon/http/call.h"

#include "daemon/http/body.h"
#include "daemon/http/entity_tags.h"
#include "daemon/json/forms.h"

namespace frisket::http {

Response bad_request(const Call& call) { return problem(400, *call.parameters.why(), call.target.path); }

std::optional<Response> misfit_of_post(Call& call) {
  call.parameters.allow({});
  if (call.parameters.why()) return bad_request(call);
  if (!has_json(call.request)) return problem(415, "the body must be application/json", call.target.path);
  return std::nullopt;
}

Response list_response(const Slice& slice) {
  Pieces body(R"({"items":[)");
  body.add(slice.items);
  body.add(R"(],"next":)" + (slice.next ? json::text_of(*slice.next) : "null") + "}");
  return make_response(200, kJson, std::move(body));
}

Response list_response(const Call& call, const Slice& slice) {
  return tagged(list_response(slice), call.board.tag(slice.version));
}

Response versioned(const Call& call, Pieces json, std::uint64_t version) {
  return tagged(make_response(200, kJson, std::move(json)), call.board.tag(version));
}

unsigned status_of(model::Error::Kind kind) {
  switch (kind) {
    case model::Error::Kind::invalid:
      return 409;
    case model::Error::Kind::refused:
    case model::Error::Kind::unknown_user:
    case model::Error::Kind::wrong_key:
      return 403;
    case model::Error::Kind::nonsense:
      return 502;
    case model::Error::Kind::silent:
      return 504;
    case model::Error::Kind::local:
      break;
  }
  return 503;
}

}  // namespace frisket::http
