#include "daemon/http/target.h"

#include <boost/url/parse.hpp>
#include <boost/url/url_view.hpp>

#include "probes/model/ascii.h"
#include "probes/model/text.h"

namespace frisket::http {
namespace {

namespace urls = boost::urls;

constexpr std::size_t kMaxParameters = 32;

model::Error invalid(std::string what) {
  return {model::Error::Kind::invalid, "reading the request target", "", std::move(what)};
}

bool is_clean(std::string_view text) { return !model::has_control_characters(text) && model::is_utf8(text); }

std::string decoded(urls::pct_string_view encoded, bool plus_is_space) {
  urls::encoding_opts options;
  options.space_as_plus = plus_is_space;
  return encoded.decode(options);
}

}  // namespace

model::Result<Target> parse_target(std::string_view text) {
  const auto parsed = text.starts_with('/') ? urls::parse_origin_form(text) : urls::parse_absolute_uri(text);
  if (!parsed) return invalid("not a path, or wrongly percent-encoded");
  const urls::url_view url = *parsed;
  Target target;
  if (!text.starts_with('/')) {
    if (url.scheme() != "http" || url.has_userinfo()) return invalid("not a URL of this service");
    target.authority = std::string(url.encoded_host_and_port());
  }
  target.path = std::string(url.encoded_path());
  for (const auto segment : url.encoded_segments()) {
    target.segments.push_back(decoded(segment, false));
    if (!is_clean(target.segments.back())) return invalid("the path contains octets that no name has");
  }
  if (url.encoded_params().size() > kMaxParameters) return invalid("too many parameters");
  for (const auto parameter : url.encoded_params()) {
    target.query.emplace_back(decoded(parameter.key, true), decoded(parameter.value, true));
    if (!is_clean(target.query.back().first) || !is_clean(target.query.back().second))
      return invalid("a parameter contains octets that no value has");
  }
  return target;
}

}  // namespace frisket::http
