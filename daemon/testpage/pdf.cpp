#include "daemon/testpage/cairo_handles.h"
#include "daemon/testpage/documents.h"
#include "daemon/testpage/words.h"

namespace frisket::testpage {
namespace {

cairo_status_t append(void* document, const unsigned char* octets, unsigned length) {
  static_cast<std::string*>(document)->append(reinterpret_cast<const char*>(octets), length);
  return CAIRO_STATUS_SUCCESS;
}

}  // namespace

model::Result<std::string> as_pdf(const PageContent& content, Sheet sheet) {
  const auto size = size_of(sheet);
  std::string document;
  const Surface surface(cairo_pdf_surface_create_for_stream(append, &document, size.width, size.height));
  cairo_pdf_surface_restrict_to_version(surface.get(), CAIRO_PDF_VERSION_1_4);  // what the oldest printers read
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, std::string(kTitle).c_str());
  // No date: the library would write the machine's, and any other without the "D:" that ISO 32000-1 section 7.9.4 asks
  // for.
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, "");
  {
    const Canvas canvas(cairo_create(surface.get()));
    draw(canvas.get(), size, content);
    cairo_show_page(canvas.get());
    if (const auto status = cairo_status(canvas.get())) return drawing_failed(cairo_status_to_string(status));
  }
  cairo_surface_finish(surface.get());
  if (const auto status = cairo_surface_status(surface.get())) return drawing_failed(cairo_status_to_string(status));
  return document;
}

}  // namespace frisket::testpage
