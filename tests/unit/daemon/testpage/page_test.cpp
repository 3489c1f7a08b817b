#include "daemon/testpage/page.h"

#include <algorithm>

#include "content.h"
#include "probes/model/text.h"

namespace frisket::testpage {

using namespace testing;

TEST_CASE("the same content makes the same octets, and any text that differs makes others") {
  for (const auto& format : {PageFormat{}, raster(), plain_text()}) {
    const auto page = page_of(content(), format);
    CHECK(page == page_of(content(), format));
    for (const auto field : {&PageContent::device, &PageContent::place, &PageContent::time, &PageContent::incident,
                             &PageContent::page_id}) {
      auto other = content();
      other.*field += "x";
      CHECK(page != page_of(other, format));
    }
  }
}

TEST_CASE("a PDF carries no date of its own, whatever its text says of the time") {
  for (const auto* time : {"2026-11-26 09:30", "2026-11-26T09:30:00Z", ""}) {
    auto given = content();
    given.time = time;
    CHECK(page_of(given, {}).find("Date") == std::string::npos);
  }
}

TEST_CASE("whatever the texts hold, each format is made, bounded and of one sheet") {
  for (const auto& text : hostile_texts()) {
    const PageContent hostile{text, text, text, text, text};
    const auto pdf = page_of(hostile, {});
    CHECK(pdf.starts_with("%PDF-1.4"));
    CHECK(pdf.size() < 200'000);
    CHECK(page_of(hostile, raster()).size() < 500'000);
    const auto plain = page_of(hostile, plain_text());
    CHECK(plain.size() < 5'000);
    CHECK(std::ranges::count(plain, '\f') == 1);
  }
}

TEST_CASE("plain text is printable ASCII in lines of at most 76, begins with our words and ends with one form feed") {
  for (const auto& text : hostile_texts()) {
    auto page = page_of({text, text, text, text, text}, plain_text());
    CHECK(page.starts_with("Frisket test page\r\n"));
    REQUIRE(page.ends_with("\r\n\f"));
    page.pop_back();
    while (!page.empty()) {
      const auto end = page.find("\r\n");
      REQUIRE(end != std::string::npos);
      CHECK(end <= 76);
      CHECK(std::all_of(page.begin(), page.begin() + static_cast<std::ptrdiff_t>(end),
                        [](char c) { return c >= 0x20 && c < 0x7F; }));
      page.erase(0, end + 2);
    }
  }
}

TEST_CASE("plain text says all that there is to say, and what it cannot say with a question mark") {
  auto words = content();
  words.place =
      "Gew\xC3\xA4"
      "chshaus";
  const auto page = page_of(words, plain_text());
  for (const auto* line :
       {"Device:    herbarium-copier\r\n", "Place:     Gew?chshaus\r\n", "Time:      2026-11-26 09:30\r\n",
        "Incident:  FR-0042\r\n", "Page:      T7K2\r\n", "Good is: "})
    CHECK(page.find(line) != std::string::npos);
  for (char c = '!'; c <= '~'; ++c) CHECK(page.find(c) != std::string::npos);
  words.incident.clear();
  CHECK(page_of(words, plain_text()).find("Incident") == std::string::npos);
}

TEST_CASE("a resolution that cannot be drawn is refused with its numbers") {
  for (const auto& resolution :
       {Resolution{0, 300}, Resolution{300, 74}, Resolution{1201, 300}, Resolution{300, 4294967295}}) {
    const auto page = make_page(content(), Sheet::a4, raster(RasterType::srgb_8, resolution));
    REQUIRE_FALSE(page);
    CHECK(page.error().kind == model::Error::Kind::invalid);
    CHECK(page.error().what.find(std::to_string(resolution.across)) != std::string::npos);
    CHECK(page.error().what.find(std::to_string(resolution.along)) != std::string::npos);
  }
}

}  // namespace frisket::testpage
