#include "daemon/testpage/page.h"

#include "daemon/testpage/documents.h"
#include "daemon/testpage/words.h"
#include "probes/model/text.h"

namespace frisket::testpage {
namespace {

constexpr std::size_t kMostText = 120;  // octets of each; wider ones are cut again by what fits on the line

std::string one_line(std::string_view text) { return model::decode_text(text, model::Charset::utf8, kMostText); }

model::Result<std::string> written(const PageContent& content, Sheet sheet, const PageFormat& format) {
  switch (format.kind) {
    case PageFormat::Kind::pdf:
      return as_pdf(content, sheet);
    case PageFormat::Kind::pwg_raster:
      return as_raster(content, sheet, format.type, format.resolution);
    case PageFormat::Kind::plain_text:
      return as_plain_text(content);
  }
  return drawing_failed("no such format");
}

}  // namespace

PageContent tidied(const PageContent& content) {
  return {one_line(content.device), one_line(content.place), one_line(content.time), one_line(content.incident),
          one_line(content.page_id)};
}

std::vector<Detail> details(const PageContent& content) {
  const auto or_dash = [](const std::string& text) { return text.empty() ? std::string("-") : text; };
  std::vector<Detail> all{{"Device", or_dash(content.device)}};
  if (!content.place.empty()) all.push_back({"Place", content.place});
  all.push_back({"Time", or_dash(content.time)});
  if (!content.incident.empty()) all.push_back({"Incident", content.incident});
  all.push_back({"Page", or_dash(content.page_id)});
  return all;
}

model::Error drawing_failed(std::string what) {
  return {model::Error::Kind::local, "drawing the test page", "", std::move(what)};
}

model::Result<std::string> make_page(const PageContent& content, Sheet sheet, const PageFormat& format) {
  if (format.kind == PageFormat::Kind::pwg_raster && !is_drawable(format.resolution))
    return model::Error{model::Error::Kind::invalid, "drawing the test page", "",
                        "a resolution of " + std::to_string(format.resolution.across) + " x " +
                            std::to_string(format.resolution.along) + " dpi is not between 75 and 1200"};
  auto document = written(tidied(content), sheet, format);
  if (document && document->size() > kMostOctets) return drawing_failed("the document became too long");
  return document;
}

}  // namespace frisket::testpage
