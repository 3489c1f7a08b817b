#include "story.h"

namespace frisket::week {

using namespace std::chrono_literals;

namespace {

model::Alert row(AlertSeverity severity, AlertGroup group, std::int32_t index, AlertCode code, std::string text) {
  model::Alert alert;
  alert.severity = severity;
  alert.training = AlertTraining::untrained;
  alert.group = group;
  alert.group_index = index;
  alert.code = code;
  alert.description = std::move(text);
  return alert;
}

std::string tray_name(std::int32_t index) { return "tray-" + std::to_string(index); }

}  // namespace

Story::Story(const Member& member, WallTime begins, Dice& dice)
    : dialect_(member.dialect), site_(member.site), dice_(dice), now_(begins), episode_{member.name, begins, begins} {}

model::Alert Story::critical(AlertGroup group, std::int32_t index, AlertCode code, std::string text) const {
  return row(AlertSeverity::critical, group, index, code, std::move(text));
}

model::Alert Story::warning(AlertGroup group, std::int32_t index, AlertCode code, std::string text) const {
  const auto severity = dialect_.unary ? AlertSeverity::warning : AlertSeverity::warning_binary_change_event;
  return row(severity, group, index, code, std::move(text));
}

model::Alert Story::report(AlertGroup group, std::int32_t index, AlertCode code, std::string text) {
  auto alert = row(AlertSeverity::other, group, index, code, std::move(text));
  alert.training = AlertTraining::no_intervention_required;
  return alert;
}

void Story::happens(std::function<void(Printer&)> change) { episode_.happenings.push_back({now_, std::move(change)}); }

void Story::show(const std::string& name, Sign sign) {
  happens([name, sign = std::move(sign)](Printer& printer) { printer.show(name, sign); });
}

void Story::end(const std::string& name) {
  happens([name](Printer& printer) { printer.end(name); });
}

void Story::open_cover(std::int32_t index) {
  const auto* text = index == 1 ? "Front cover open" : "Rear cover open";
  happens([index](Printer& printer) { printer.cover(index, true); });
  Sign sign;
  sign.rows = {critical(AlertGroup::cover, index, AlertCode::cover_open, text)};
  sign.bits = {ErrorBit::door_open};
  sign.panel = text;
  sign.stops = true;
  show("cover-" + std::to_string(index), std::move(sign));
}

void Story::close_cover(std::int32_t index) {
  happens([index](Printer& printer) { printer.cover(index, false); });
  end("cover-" + std::to_string(index));
}

void Story::pull_tray(std::int32_t index) {
  Sign sign;
  sign.rows = {warning(AlertGroup::input, index, AlertCode::input_media_tray_missing,
                       "Tray " + std::to_string(index) + " is open")};
  sign.bits = {ErrorBit::input_tray_missing};
  if (dialect_.tray_is_door) sign.bits.push_back(ErrorBit::door_open);
  sign.troubled = {{Subunit::Kind::input, index}};
  sign.panel = "Close tray " + std::to_string(index);
  show(tray_name(index), std::move(sign));
}

void Story::push_tray(std::int32_t index, std::int32_t sheets) {
  end(tray_name(index));
  happens([index, sheets](Printer& printer) { printer.sheets(index, sheets); });
}

void Story::acknowledge(std::set<std::string> kinds) {
  episode_.happenings.push_back({now_, nullptr, std::move(kinds)});
}

void Story::restart(Seconds off) {
  const auto from = now_;
  happens([](Printer& printer) { printer.switch_off(); });
  wait(off);
  auto& truth = problem("switched off", {"device-silent"}, from);
  truth.shown = Shown::by_missed_polls;
  happens([](Printer& printer) { printer.switch_on(); });
  Sign sign;
  sign.rows = {report(AlertGroup::general_printer, -1, AlertCode::power_up, "Power up")};
  show("power-up", std::move(sign));
  wait(30s, 60s);
  happens([](Printer& printer) { printer.warm_up(false); });
  wait(60s);
  end("power-up");
}

void Story::pages_come_through() {
  for (const auto pause : {5s, 65s, 100s}) {
    wait(pause);
    happens([](Printer& printer) { printer.print(2); });
  }
}

Truth& Story::problem(std::string what, std::set<std::string> kinds, WallTime from) {
  Truth truth;
  truth.device = episode_.device;
  truth.site = site_;
  truth.what = std::move(what);
  truth.kinds = std::move(kinds);
  truth.from = from;
  truth.until = now_;
  episode_.truths.push_back(std::move(truth));
  return episode_.truths.back();
}

Episode Story::take() {
  episode_.until = now_;
  if (episode_.alone_from == WallTime{}) episode_.alone_from = episode_.from;
  return std::move(episode_);
}

}  // namespace frisket::week
