// Which hook hears of what.
#include "daemon/hooks/filter.h"
#include "fixture.h"

namespace frisket::hooks {
namespace {

TEST_CASE("a hook without filters wants everything") { CHECK(wants(config::Hook{}, notice("1").incident)); }

TEST_CASE("a hook wants the kinds it names, and only at the sites it names") {
  config::Hook hook;
  hook.kinds = {"toner-low", "input-tray-missing"};
  CHECK(wants(hook, notice("1").incident));
  hook.sites = {"arboretum"};
  CHECK_FALSE(wants(hook, notice("1").incident));
  hook.sites = {"arboretum", "glasshouse"};
  CHECK(wants(hook, notice("1").incident));
  hook.kinds = {"toner-low"};
  CHECK_FALSE(wants(hook, notice("1").incident));
}

TEST_CASE("a hook for a kind is told of an incident that was that kind, or has it among its evidence") {
  config::Hook hook;
  hook.kinds = {"cover-open"};
  auto told = notice("1");
  told.incident.kind = "media-jam";
  told.incident.evidence.clear();
  told.incident.earlier_kinds.clear();
  CHECK_FALSE(wants(hook, told.incident));
  incidents::Condition open;
  open.keyword = "cover-open";
  told.incident.evidence = {open};
  CHECK(wants(hook, told.incident));
  told.incident.evidence.clear();
  told.incident.earlier_kinds = {"cover-open"};
  CHECK(wants(hook, told.incident));
}

TEST_CASE("a hook wants its severity and worse") {
  config::Hook hook;
  auto transition = notice("1");
  hook.severity = model::Severity::major;
  for (const auto& [severity, wanted] : {std::pair(model::Severity::warning, false),
                                         {model::Severity::minor, false},
                                         {model::Severity::major, true},
                                         {model::Severity::critical, true}}) {
    transition.incident.severity = severity;
    CHECK(wants(hook, transition.incident) == wanted);
  }
}

TEST_CASE("a hook that was told of an incident hears of it to its end, whatever it has become") {
  Desk desk;
  auto hook = desk.script("desk", "echo $FRISKET_NOTICE $FRISKET_KIND >> $1/told");
  hook.kinds = {"toner-low"};
  desk.configure({hook});
  const auto change = [](const std::string& kind, Transition::What what) {
    auto transition = notice("7", what);
    transition.incident.kind = kind;
    return transition;
  };
  desk.tell(change("marker-supply-low", Transition::What::raised));
  desk.tell(change("toner-low", Transition::What::changed));
  desk.tell(change("toner-empty", Transition::What::changed));
  desk.tell(change("toner-empty", Transition::What::cleared));
  desk.tell(change("toner-empty", Transition::What::changed));
  REQUIRE(desk.run_until_told());
  CHECK(desk.folder.read("told") == "raised toner-low\nchanged toner-empty\ncleared toner-empty\n");
}

}  // namespace
}  // namespace frisket::hooks
