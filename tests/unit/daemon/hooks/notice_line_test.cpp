#include "daemon/hooks/notice_line.h"

#include <catch2/catch.hpp>

namespace frisket::hooks {
namespace {

Notice of(const std::string& incident, int number = 0) {
  incidents::Transition transition;
  transition.incident.id = incident;
  transition.incident.summary = std::to_string(number);
  return std::make_shared<const incidents::Transition>(std::move(transition));
}

std::string taken(NoticeLine& line) {
  const auto notice = line.next();
  return notice ? (*notice)->incident.id + (*notice)->incident.summary : "none";
}

TEST_CASE("the notices of one incident leave one after the other, those of others in between") {
  NoticeLine line(10);
  for (const auto& notice : {of("a", 1), of("a", 2), of("b", 1), of("a", 3)}) REQUIRE(line.add(notice));
  CHECK(taken(line) == "a1");
  CHECK(taken(line) == "b1");
  CHECK(taken(line) == "none");
  CHECK(line.waiting() == 2);
  line.told("b");
  CHECK(taken(line) == "none");
  line.told("a");
  CHECK(taken(line) == "a2");
  line.told("a");
  CHECK(taken(line) == "a3");
  line.told("a");
  CHECK(taken(line) == "none");
  CHECK(line.waiting() == 0);
}

TEST_CASE("a notice that comes while its incident is being told waits") {
  NoticeLine line(10);
  line.add(of("a", 1));
  CHECK(taken(line) == "a1");
  line.add(of("a", 2));
  CHECK_FALSE(line.has_next());
  line.told("a");
  CHECK(taken(line) == "a2");
}

TEST_CASE("a full line takes no more until something left it") {
  NoticeLine line(2);
  CHECK(line.add(of("a")));
  CHECK(line.add(of("b")));
  CHECK_FALSE(line.add(of("c")));
  CHECK(taken(line) == "a0");
  CHECK(line.add(of("c")));
}

TEST_CASE("clearing drops what waits and remembers what is being told") {
  NoticeLine line(10);
  for (const auto& notice : {of("a", 1), of("a", 2), of("b", 1)}) line.add(notice);
  CHECK(taken(line) == "a1");
  CHECK(line.clear() == 2);
  CHECK(line.waiting() == 0);
  line.add(of("a", 3));
  CHECK(taken(line) == "none");
  line.told("a");
  CHECK(taken(line) == "a3");
}

}  // namespace
}  // namespace frisket::hooks
