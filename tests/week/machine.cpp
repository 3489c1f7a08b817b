// The machine itself: covers, failures, its power, its cable, and what it reports without need.
#include "stories.h"

namespace frisket::week {

using namespace std::chrono_literals;

namespace {

Episode only_a_bit(Story story, ErrorBit bit, const char* what, const char* kind) {
  const auto from = story.now();
  Sign sign;
  sign.bits = {bit};
  story.show("bit", std::move(sign));
  story.wait(1h, 5h);
  story.end("bit");
  if (story.dialect().bits) story.problem(what, {kind}, from);
  return story.take();
}

Episode off_line(Story story, Seconds span) {
  const auto from = story.now();
  Sign sign;
  sign.bits = {ErrorBit::offline};
  sign.panel = "Off line";
  story.show("offline", std::move(sign));
  story.wait(span);
  story.end("offline");
  if (story.dialect().bits) story.problem("off line", {"offline"}, from).grace = 60s;
  return story.take();
}

}  // namespace

Episode cover_left_open(Story story) {
  const auto index = static_cast<std::int32_t>(story.dice().between(1, 2));
  const auto from = story.now();
  story.open_cover(index);
  story.wait(4min, 40min);
  story.close_cover(index);
  story.problem("open cover:" + std::to_string(index), {"cover-open", "tray-misload"}, from);
  return story.take();
}

Episode cover_opened_for_a_moment(Story story) {
  const auto index = static_cast<std::int32_t>(story.dice().between(1, 2));
  const auto from = story.now();
  story.open_cover(index);
  story.wait(4s, 40s);
  story.close_cover(index);
  story.problem("cover:" + std::to_string(index) + " opened for a moment", {"cover-open"}, from).brief = true;
  return story.take();
}

Episode fuser_fails(Story story) {
  const auto from = story.now();
  Sign sign;
  sign.rows = {story.critical(AlertGroup::marker, 1, AlertCode::marker_fuser_over_temperature, "Fuser error 50.2")};
  sign.rows.front().training = AlertTraining::field_service;
  sign.bits = {ErrorBit::service_requested};
  sign.troubled = {{Subunit::Kind::marker, 1}};
  sign.critical = true;
  sign.panel = "Call service";
  sign.stops = true;
  story.show("fuser", std::move(sign));
  story.wait(1h, 6h);
  const auto off = story.now();
  story.happens([](Printer& printer) { printer.switch_off(); });
  story.wait(1s);
  story.end("fuser");
  story.wait(10min, 30min);
  story.problem("fuser", {"fuser-over-temp", "service-requested", "other", "unexplained-stop"}, from);
  story.problem("switched off for the repair", {"device-silent"}, off).shown = Shown::by_missed_polls;
  story.happens([](Printer& printer) { printer.switch_on(); });
  story.wait(60s);
  story.happens([](Printer& printer) { printer.warm_up(false); });
  story.pages_come_through();
  return story.take();
}

Episode stop_without_a_reason(Story story) {
  const auto from = story.now();
  Sign sign;
  sign.stops = true;
  story.show("stop", std::move(sign));
  story.wait(5min, 40min);
  story.end("stop");
  story.problem("stopped without a reason", {"unexplained-stop"}, from).grace = 60s;
  story.pages_come_through();
  return story.take();
}

Episode service_is_asked_for(Story story) {
  return only_a_bit(std::move(story), ErrorBit::service_requested, "service asked for", "service-requested");
}

Episode maintenance_is_overdue(Story story) {
  return only_a_bit(std::move(story), ErrorBit::overdue_prevent_maint, "maintenance overdue", "overdue-prevent-maint");
}

Episode off_line_for_a_moment(Story story) {
  const auto span = story.dice().between(10s, 50s);
  return off_line(std::move(story), span);
}

Episode off_line_for_long(Story story) {
  const auto span = story.dice().between(Seconds{5min}, Seconds{20min});
  return off_line(std::move(story), span);
}

Episode switched_off(Story story) {
  const auto off = story.dice().between(Seconds{20min}, Seconds{3h});
  story.restart(off);
  return story.take();
}

Episode restarts(Story story) {
  const auto off = story.dice().between(20s, 55s);
  story.restart(off);
  return story.take();
}

Episode restarts_with_an_empty_tray(Story story) {
  const auto from = story.now();
  story.happens([](Printer& printer) { printer.sheets(1, 0); });
  Sign empty;
  empty.rows = {story.warning(AlertGroup::input, 1, AlertCode::subunit_empty, "Tray 1 empty")};
  empty.bits = {ErrorBit::input_tray_empty};
  empty.troubled = {{Subunit::Kind::input, 1}};
  story.show("paper", std::move(empty));
  story.wait(10min, 30min);
  story.restart(story.dice().between(30s, 55s));
  story.wait(10min, 30min);
  story.end("paper");
  story.happens([](Printer& printer) { printer.sheets(1, 500); });
  story.problem("empty input:1, restarted meanwhile", {"media-empty"}, from);
  return story.take();
}

Episode cable_flaps(Story story) {
  const auto from = story.now();
  WallTime last = from;
  for (int i = 0; i < 30; ++i) {
    story.happens([](Printer& printer) { printer.cut_off(true); });
    story.wait(31s, 55s);
    story.happens([](Printer& printer) { printer.cut_off(false); });
    last = story.now();
    story.wait(3min, 7min);
  }
  auto& truth = story.problem("cable comes and goes", {"cable-suspect", "device-silent"}, from);
  truth.until = last;
  truth.stays = 1h;
  truth.to_the_second = false;
  truth.shown = Shown::by_interruptions;
  story.wait(1h);
  return story.take();
}

// The counters are read every ten minutes (docs/api.md, "interfaces").
Episode cable_spoils(Story story) {
  const auto step = [&] { story.happens([](Printer& printer) { printer.interface_errors(60); }); };
  step();
  story.wait(10min);
  const auto from = story.now();  // 120 more
  for (int i = 0; i < 12; ++i) {
    step();
    story.wait(10min);
  }
  auto& truth = story.problem("cable spoils frames", {"cable-suspect"}, from);
  // The hour in which the errors are counted may begin anew just before the first: then 100 more are seen two
  // readings of the counters later.
  truth.grace = 20min;
  truth.until -= 10min;
  truth.stays = 1h;
  truth.to_the_second = false;
  story.wait(1h);
  return story.take();
}

Episode reports_something(Story story) {
  Sign sign;
  sign.rows = {Story::report(AlertGroup::general_printer, -1, AlertCode::configuration_change, "Settings changed"),
               Story::report(AlertGroup::input, 1, AlertCode::input_media_size_change, "Tray 1 size changed"),
               Story::report(AlertGroup::input, 3, AlertCode::input_media_supply_empty, "Bypass empty")};
  story.show("report", std::move(sign));
  story.wait(5min, 60min);
  story.end("report");
  return story.take();
}

Episode naps(Story story) {
  const auto until = story.now() + story.dice().between(Seconds{20min}, Seconds{60min});
  return sleeps_until(std::move(story), until);
}

Episode sleeps_until(Story story, WallTime morning) {
  Sign saver;
  saver.rows = {Story::report(AlertGroup::general_printer, -1, AlertCode::subunit_power_saver, "Sleeping")};
  if (story.dialect().unary) saver.rows.front().severity = AlertSeverity::warning;
  story.happens([](Printer& printer) { printer.sleep(true); });
  story.show("power-saver", std::move(saver));
  story.wait(std::chrono::duration_cast<Seconds>(morning - story.now()));
  story.end("power-saver");
  Sign warming;
  warming.rows = {story.warning(AlertGroup::marker, 1, AlertCode::subunit_warming_up, "Warming up")};
  warming.panel = "Please wait";
  story.happens([](Printer& printer) { printer.warm_up(true); });
  story.show("warm-up", std::move(warming));
  story.wait(30s, 90s);
  story.happens([](Printer& printer) { printer.warm_up(false); });
  story.end("warm-up");
  return story.take();
}

}  // namespace frisket::week
