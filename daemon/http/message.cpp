#include "daemon/http/message.h"

#include <boost/beast/http/status.hpp>

#include "daemon/json/forms.h"

namespace frisket::http {

Response make_response(unsigned status, std::string_view content_type, std::string body) {
  return make_response(status, content_type, Pieces(std::move(body)));
}

Response make_response(unsigned status, std::string_view content_type, Pieces body) {
  Response response;
  response.status = status;
  response.body = std::move(body);
  response.fields = {
      {"Content-Type", std::string(content_type)},
      {"Cache-Control", "no-store"},
  };
  return response;
}

Response problem(unsigned status, std::string_view detail, std::string_view instance) {
  namespace beast_http = boost::beast::http;
  const auto title = beast_http::obsolete_reason(static_cast<beast_http::status>(status));
  const json::Json form = {{"type", "about:blank"},
                           {"title", std::string_view(title.data(), title.size())},
                           {"status", status},
                           {"detail", detail},
                           {"instance", instance}};
  return make_response(status, "application/problem+json", json::text_of(form));
}

}  // namespace frisket::http
