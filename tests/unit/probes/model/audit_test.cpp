#include "probes/model/audit.h"

#include <catch2/catch.hpp>

namespace frisket::model {

TEST_CASE("a record is bounded and of one line, and a detail that is left out says how long it was") {
  AuditRecord record;
  record.who = "desk";
  record.target = "a\nb\x1b[31m" + std::string(500, 'x');
  record.reason = std::string(10'000, '\xff');
  record.detail = R"({"by":"robin"})";
  const auto kept = bounded(record);
  CHECK(kept.who == "desk");
  CHECK(kept.target.size() <= 255);
  CHECK(kept.target.starts_with("a b"));
  CHECK(kept.reason.size() <= 255);
  CHECK(kept.detail == record.detail);

  record.detail = std::string(kMostAuditDetail, 'y');
  CHECK(bounded(record).detail == record.detail);
  record.detail += 'y';
  CHECK(bounded(record).detail == R"({"left_out_bytes":4097})");
  record.detail = "{\"x\":\"\xff\"}";
  CHECK(bounded(record).detail == R"({"left_out_bytes":9})");
}

}  // namespace frisket::model
