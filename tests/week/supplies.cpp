// The black cartridge: trembles around low, gets low, and is replaced in time or not.
#include "stories.h"

namespace frisket::week {

using namespace std::chrono_literals;

namespace {

const std::set<std::string> kNames = {"toner-low", "toner-empty", "marker-supply-low", "marker-supply-empty"};

void set_level(Story& story, std::int32_t percent) {
  story.happens([percent](Printer& printer) { printer.toner(percent); });
}

// From 13 per cent to 4: within a working day or over a night. Returns since when it is low.
WallTime gets_low(Story& story) {
  WallTime low;
  const auto say_low = [&] {
    Sign sign;
    sign.rows = {
        story.warning(AlertGroup::marker_supplies, 1, AlertCode::marker_toner_almost_empty, "Black toner low")};
    sign.bits = {ErrorBit::low_toner};
    sign.panel = "Black toner low";
    story.show("toner", std::move(sign));
    if (low == WallTime{}) low = story.now();
  };
  for (const std::int32_t percent : {13, 12, 11}) {
    set_level(story, percent);
    if (percent == 12 && story.dialect().early_low) say_low();
    story.wait(20min, 60min);
  }
  // The sensor cannot decide.
  for (int i = 0; i < 8; ++i) {
    set_level(story, i % 2 == 0 ? 10 : 11);
    if (low == WallTime{}) low = story.now();
    story.wait(40s, 5min);
  }
  for (const std::int32_t percent : {9, 7, 5, 4}) {
    set_level(story, percent);
    if (percent == 9 && !story.dialect().early_low) say_low();
    story.wait(15min, 60min);
  }
  return low;
}

void change_cartridge(Story& story) {
  story.open_cover(1);
  story.wait(5s, 25s);
  story.end("toner");
  Sign out;
  out.rows = {story.critical(AlertGroup::marker_supplies, 1, AlertCode::marker_toner_cartridge_missing,
                             "Black cartridge missing")};
  out.bits = {ErrorBit::marker_supply_missing};
  out.panel = "Insert black cartridge";
  out.stops = true;
  story.show("cartridge", std::move(out));
  story.wait(10s, 60s);
  story.end("cartridge");
  set_level(story, 100);
}

bool is_low(const Printer& printer) { return printer.toner_left() <= 10 || printer.shows("toner"); }

}  // namespace

Episode toner_is_replaced_in_time(Story story) {
  const auto low = gets_low(story);
  story.was_background();
  story.acknowledge(kNames);
  story.wait(70s, 4min);
  change_cartridge(story);
  story.problem("toner low, replaced in time", kNames, low).wavers = is_low;
  story.wait(4s, 30s);
  story.close_cover(1);
  story.pages_come_through();
  return story.take();
}

Episode toner_runs_out(Story story) {
  const auto low = gets_low(story);
  for (const std::int32_t percent : {3, 2, 1}) {
    set_level(story, percent);
    story.wait(10min, 30min);
  }
  story.was_background();
  set_level(story, 0);
  Sign empty;
  empty.rows = {story.critical(AlertGroup::marker_supplies, 1, AlertCode::marker_toner_empty, "Black toner empty")};
  empty.bits = {ErrorBit::no_toner};
  empty.panel = "Replace black toner";
  empty.stops = true;
  story.show("toner", std::move(empty));
  story.wait(5min, 60min);
  change_cartridge(story);
  story.problem("toner low, empty, replaced", kNames, low).wavers = is_low;
  story.wait(4s, 30s);
  story.close_cover(1);
  story.pages_come_through();
  return story.take();
}

}  // namespace frisket::week
