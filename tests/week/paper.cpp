// Sheets: jams, trays, bins.
#include "stories.h"

namespace frisket::week {

using namespace std::chrono_literals;

namespace {

struct Place {
  AlertGroup group;
  Subunit subunit;
  const char* name;
};

const std::vector<Place> kPlaces = {{AlertGroup::input, {Subunit::Kind::input, 1}, "tray 1"},
                                    {AlertGroup::input, {Subunit::Kind::input, 2}, "tray 2"},
                                    {AlertGroup::media_path, {Subunit::Kind::media_path, 1}, "the paper path"},
                                    {AlertGroup::output, {Subunit::Kind::output, 1}, "the top bin"}};
const Place kRoller = kPlaces[1];

Sign jam_sign(Story& story, const Place& place) {
  Sign sign;
  const std::string text = std::string("Paper jam at ") + place.name;
  sign.rows = {story.critical(place.group, place.subunit.index, AlertCode::jam, text)};
  if (story.dialect().twice) sign.rows.push_back(story.critical(AlertGroup::media_path, -1, AlertCode::jam, text));
  sign.bits = {ErrorBit::jammed};
  sign.troubled = {place.subunit};
  sign.critical = true;
  sign.panel = text;
  sign.stops = true;
  return sign;
}

// Somebody comes, opens, takes the sheet out and closes; the cover often stays open a little longer.
void clear_jam(Story& story, const Place& place) {
  const bool tray = place.subunit == kRoller.subunit && story.dice().one_in(2);
  const std::int32_t cover = place.subunit.kind == Subunit::Kind::output ? 2 : 1;
  story.open_cover(cover);
  story.wait(10s, 60s);
  if (tray) {
    story.pull_tray(2);
    story.wait(5s, 40s);
  }
  story.end("jam");
  if (tray) {
    story.wait(2s, 10s);
    story.push_tray(2, 400);
  }
  if (story.dice().one_in(4))
    story.wait(60s, 200s);
  else
    story.wait(1s, 8s);
  story.close_cover(cover);
}

Episode tell_jam(Story story, const Place& place) {
  const auto from = story.now();
  story.show("jam", jam_sign(story, place));
  story.wait(2min, 20min);
  if (story.dice().one_in(2)) {
    story.acknowledge({"media-jam", "jam-recurring"});
    story.wait(1min, 4min);
  }
  clear_jam(story, place);
  story.problem("jam at " + model::to_text(place.subunit), {"media-jam"}, from);
  story.pages_come_through();
  return story.take();
}

}  // namespace

Episode jam(Story story) {
  const auto place = story.dice().one_of(kPlaces);
  return tell_jam(std::move(story), place);
}

Episode jam_at_roller(Story story) { return tell_jam(std::move(story), kRoller); }

Episode tray_runs_empty(Story story) {
  const auto index = static_cast<std::int32_t>(story.dice().between(1, 2));
  const bool alone = story.dialect().own_media;
  const auto name = "Tray " + std::to_string(index);
  const Subunit subunit{Subunit::Kind::input, index};
  const auto from = story.now();
  // Where only a bit says that paper is low, it may be the empty bypass that it means (docs/incidents.md).
  const bool says_low = story.dialect().rows && story.dice().one_in(2);
  if (says_low) {
    story.happens([index](Printer& printer) { printer.sheets(index, 40); });
    Sign low;
    low.rows = {story.warning(AlertGroup::input, index, AlertCode::input_media_supply_low, name + " low")};
    low.bits = {ErrorBit::low_paper};
    low.troubled = {subunit};
    story.show("paper", std::move(low));
    story.wait(10min, 40min);
  }
  story.happens([index](Printer& printer) { printer.sheets(index, 0); });
  Sign empty;
  empty.rows = {alone ? story.critical(AlertGroup::input, index, AlertCode::input_media_supply_empty, name + " empty")
                      : story.warning(AlertGroup::input, index, AlertCode::input_media_supply_empty, name + " empty")};
  empty.bits = {alone ? ErrorBit::no_paper : ErrorBit::input_tray_empty};
  empty.troubled = {subunit};
  empty.critical = alone;
  empty.panel = "Load paper in tray " + std::to_string(index);
  story.show("paper", std::move(empty));
  story.wait(4min, 70min);
  story.end("paper");
  story.pull_tray(index);
  story.wait(12s, 70s);
  story.push_tray(index, 500);
  story.problem("empty " + model::to_text(subunit), {"media-low", "media-empty", "input-tray-missing"}, from);
  return story.take();
}

Episode tray_left_open(Story story) {
  const auto index = static_cast<std::int32_t>(story.dice().between(1, 2));
  const auto from = story.now();
  story.pull_tray(index);
  story.wait(12min, 40min);
  story.push_tray(index, 400);
  story.problem("open input:" + std::to_string(index), {"input-tray-missing", "tray-misload"}, from);
  return story.take();
}

Episode tray_opened_for_a_moment(Story story) {
  const auto index = static_cast<std::int32_t>(story.dice().between(1, 2));
  const auto from = story.now();
  story.pull_tray(index);
  story.wait(6s, 40s);
  story.push_tray(index, 480);
  story.problem("input:" + std::to_string(index) + " opened for a moment", {"input-tray-missing"}, from).brief = true;
  return story.take();
}

Episode bin_fills(Story story) {
  const auto from = story.now();
  const Subunit bin{Subunit::Kind::output, 1};
  if (story.dice().one_in(2) && (story.dialect().rows || story.dialect().bits)) {
    Sign nearly;
    nearly.rows = {
        story.warning(AlertGroup::output, 1, AlertCode::output_media_tray_almost_full, "Top bin nearly full")};
    nearly.bits = {ErrorBit::output_near_full};
    nearly.troubled = {bin};
    story.show("bin", std::move(nearly));
    story.wait(5min, 20min);
  }
  story.happens([](Printer& printer) { printer.room(0); });
  Sign full;
  full.rows = {story.critical(AlertGroup::output, 1, AlertCode::output_media_tray_full, "Top bin full")};
  full.bits = {ErrorBit::output_full};
  full.troubled = {bin};
  full.critical = true;
  full.panel = "Empty the top bin";
  full.stops = true;
  story.show("bin", std::move(full));
  story.wait(3min, 30min);
  story.end("bin");
  story.happens([](Printer& printer) { printer.room(250); });
  story.problem("full output:1", {"output-area-full", "output-area-almost-full"}, from);
  story.pages_come_through();
  return story.take();
}

Episode bypass_asks(Story story) {
  const auto from = story.now();
  Sign asks;
  const auto code =
      story.dice().one_in(2) ? AlertCode::input_manual_input_request : AlertCode::input_media_supply_empty;
  asks.rows = {story.critical(AlertGroup::input, 3, code, "Load bypass with envelopes")};
  asks.bits = {ErrorBit::no_paper};
  asks.troubled = {{Subunit::Kind::input, 3}};
  asks.critical = true;
  asks.on_request = true;
  asks.panel = "Load bypass";
  asks.stops = true;
  story.show("bypass", std::move(asks));
  story.wait(1min, 9min);
  story.happens([](Printer& printer) { printer.sheets(3, 5); });
  story.end("bypass");
  story.problem("bypass asks", {"media-empty", "media-needed", "input-manual-input-request"}, from);
  story.pages_come_through();
  story.happens([](Printer& printer) { printer.sheets(3, 0); });
  return story.take();
}

}  // namespace frisket::week
