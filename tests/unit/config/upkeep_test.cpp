// [[supplier]], [[part]], [[task]] and a site's holidays: what is accepted, and what is refused.
#include "fixture.h"

namespace frisket::config {
namespace {

using Catch::Matchers::Contains;
using namespace std::chrono;

TEST_CASE("holidays are days of one year or of each") {
  CHECK(parse_holiday("2026-12-24") == Holiday{year{2026}, December / 24});
  CHECK(parse_holiday("12-25") == Holiday{std::nullopt, December / 25});
  CHECK(parse_holiday("02-29") == Holiday{std::nullopt, February / 29});
  for (const auto* text : {"2026-02-29", "13-01", "12-32", "", "1-1", "24.12.", "2026-12-24T00:00", "12/25"})
    CHECK_FALSE(parse_holiday(text));
  const Garden garden;
  const auto loaded = garden.load("[[site]]\nname = \"a\"\nholidays = [\"2026-12-24\", \"12-25\"]\n");
  REQUIRE(loaded.ok());
  CHECK(loaded.config.sites[0].holidays.size() == 2);
  CHECK_THAT(garden.finding("[[site]]\nname = \"a\"\nholidays = [\"easter\"]\n"),
             Contains("site.holidays: found \"easter\", allowed: a day such as"));
}

TEST_CASE("a supplier, a part and a task are read, with their defaults") {
  const Garden garden;
  const auto loaded = garden.load(R"([[supplier]]
name = "fernhill"
lead_days = 3
service_level = 0.9
[[part]]
number = "QX-701A"
colorant = "black"
supplier = "fernhill"
pack_size = 2
[[task]]
name = "filter"
title = "Change the filter"
every_days = 400
models = ["LX 4100"]
)");
  REQUIRE(loaded.ok());
  CHECK(loaded.config.suppliers == std::vector<Supplier>{{"fernhill", 3, 7, 0.9}});
  CHECK(loaded.config.parts == std::vector<Part>{{"QX-701A", "", "", "black", "fernhill", 2, std::nullopt}});
  CHECK(loaded.config.tasks ==
        std::vector<Task>{{"filter", "Change the filter", std::nullopt, 400, {}, {"LX 4100"}, 10}});
}

TEST_CASE("what makes no sense of parts and tasks is refused") {
  const Garden garden;
  CHECK_THAT(garden.finding("[[part]]\nnumber = \"A\"\nsupplier = \"nobody\"\n"), Contains("part.supplier: found"));
  CHECK_THAT(garden.finding("[[part]]\nnumber = \"A\"\n[[part]]\nnumber = \"A\"\n"), Contains("another part has it"));
  CHECK_THAT(garden.finding("[[part]]\nnumber = \"A\"\npack_size = 0\n"), Contains("part.pack_size: found 0"));
  CHECK_THAT(garden.finding("[[supplier]]\nname = \"a\"\nservice_level = 1\n"), Contains("supplier.service_level"));
  CHECK_THAT(garden.finding("[[task]]\nname = \"a\"\ntitle = \"b\"\n"), Contains("would never be due"));
  CHECK_THAT(garden.finding("[[task]]\nname = \"a\"\ntitle = \"b\"\nevery_days = 1\ndevices = [\"x\"]\n"),
             Contains("task.devices: found \"x\""));
}

}  // namespace
}  // namespace frisket::config
