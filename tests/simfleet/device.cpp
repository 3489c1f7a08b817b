#include "tests/simfleet/device.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace frisket::simfleet {
namespace {

constexpr std::int32_t kCritical = 3;
constexpr std::int32_t kUnaryWarning = 4;

// RFC 3805 section 2.2.13.4: which rows leave a full table first.
int eviction_rank(std::int32_t severity) { return severity == kCritical ? 2 : severity == kUnaryWarning ? 0 : 1; }

SimTime page_period(double rate) { return SimTime(std::max<std::int64_t>(1, std::llround(60'000.0 / rate))); }

void drop(std::vector<Subunit>& list, Subunit subunit) {
  if (subunit.group == 0) {
    list.clear();
  } else {
    std::erase(list, subunit);
  }
}

void add_once(std::vector<Subunit>& list, Subunit subunit) {
  if (std::find(list.begin(), list.end(), subunit) == list.end()) list.push_back(subunit);
}

}  // namespace

Device::Device(Identity identity, std::shared_ptr<const Model> model, Start start, std::vector<Timed> time_line,
               SimTime repeat)
    : identity_(std::move(identity)),
      model_(std::move(model)),
      covers_open_(model_->covers.size(), false),
      console_(static_cast<std::size_t>(model_->console_lines)),
      rate_(start.rate),
      tended_ms_(start.tended_ms),
      up_before_ms_(start.up_ms),
      life_(start.pages),
      time_line_(std::move(time_line)),
      repeat_(repeat) {
  for (const auto& kind : model_->inputs) trays_.push_back({true, kind.capacity, kind.media});
  for (const auto& kind : model_->outputs) bins_.push_back({true, kind.capacity});
  for (const auto& kind : model_->supplies) supplies_.push_back({true, static_cast<double>(kind.capacity)});
  std::stable_sort(time_line_.begin(), time_line_.end(), [](const Timed& a, const Timed& b) { return a.at < b.at; });
  if (rate_ > 0) next_page_ = page_period(rate_);
  settle(SimTime{0});
}

std::uint32_t Device::uptime(SimTime now) const {
  return static_cast<std::uint32_t>((up_before_ms_ + (std::max(now, switched_on_) - switched_on_).count()) / 10);
}

bool Device::warming(SimTime now) const {
  return !manners_.off && up_before_ms_ + (now - switched_on_).count() < model_->warm_up_ms;
}

std::optional<SimTime> Device::next_change() const {
  std::optional<SimTime> next;
  const auto consider = [&](SimTime at) { next = next ? std::min(*next, at) : at; };
  if (next_event_ < time_line_.size()) consider(time_line_base_ + time_line_[next_event_].at);
  if (printing()) consider(next_page_);
  if (tend_at_) consider(*tend_at_);
  if (warming(now_)) consider(switched_on_ + SimTime(model_->warm_up_ms - up_before_ms_));
  return next;
}

void Device::advance_to(SimTime now) {
  while (const auto next = next_change()) {
    if (*next > now) break;
    now_ = std::max(now_, *next);
    if (next_event_ < time_line_.size() && time_line_base_ + time_line_[next_event_].at <= now_) {
      const auto event = time_line_[next_event_].event;
      if (++next_event_ == time_line_.size() && repeat_.count() > 0) {
        next_event_ = 0;
        time_line_base_ += repeat_;
      }
      apply(event, now_);
    } else if (tend_at_ && *tend_at_ <= now_) {
      tend(now_);
    } else {
      if (printing() && next_page_ <= now_) {
        print_page();
        next_page_ += page_period(rate_);
      }
      settle(now_);
    }
  }
  now_ = std::max(now_, now);
}

void Device::print_page() {
  for (std::size_t i = 0; i < trays_.size(); ++i) {
    if (!feeds(i)) continue;
    --trays_[i].level;
    ++life_;
    ++power_on_;
    for (std::size_t k = 0; k < supplies_.size(); ++k) {
      const auto& kind = model_->supplies[k];
      auto& level = supplies_[k].level;
      if (supplies_[k].present) level = std::max(0.0, level - kind.color_share * kind.capacity / kind.yield);
      if (level < 1e-9) level = 0;
    }
    return;
  }
}

void Device::tend(SimTime now) {
  tend_at_.reset();
  for (std::size_t i = 0; i < trays_.size(); ++i) {
    if (trays_[i].present && trays_[i].level <= 0) trays_[i].level = model_->inputs[i].capacity;
  }
  for (std::size_t i = 0; i < supplies_.size(); ++i) {
    if (!supplies_[i].present || supplies_[i].level <= 0)
      supplies_[i] = {true, static_cast<double>(model_->supplies[i].capacity)};
  }
  settle(now);
}

void Device::switch_on(SimTime now) {
  manners_.off = false;
  switched_on_ = now;
  up_before_ms_ = 0;
  alerts_.clear();
  waiting_.clear();
  last_alert_ = critical_events_ = all_events_ = 0;
  power_on_ = 0;
  link_errors_ = 0;
  std::erase_if(raw_alerts_, [](const Condition& c) { return c.severity == kUnaryWarning; });
}

void Device::apply(const Event& event, SimTime now) {
  now_ = std::max(now_, now);
  const auto row = static_cast<std::size_t>(std::max(event.subunit.index - 1, 0));
  const bool bin = event.subunit.group == 9;
  switch (event.verb) {
    case Verb::jam:
      add_once(jams_, event.subunit);
      break;
    case Verb::unjam:
      drop(jams_, event.subunit);
      break;
    case Verb::open:
    case Verb::close:
      covers_open_[row] = event.verb == Verb::open;
      break;
    case Verb::pull:
    case Verb::insert:
      (bin ? bins_[row].present : trays_[row].present) = event.verb == Verb::insert;
      break;
    case Verb::load:
      trays_[row].level = static_cast<std::int32_t>(event.number);
      break;
    case Verb::media:
      // Media settings are configuration (RFC 3805 prtGeneralConfigChanges).
      if (trays_[row].media != event.text) ++config_changes_;
      trays_[row].media = event.text;
      break;
    case Verb::room:
      bins_[row].room = static_cast<std::int32_t>(event.number);
      break;
    case Verb::level:
      supplies_[row].level = event.number / 100.0 * model_->supplies[row].capacity;
      break;
    case Verb::take:
      supplies_[row].present = false;
      break;
    case Verb::replace:
      supplies_[row] = {true, static_cast<double>(model_->supplies[row].capacity)};
      break;
    case Verb::fail:
      add_once(broken_, event.subunit);
      break;
    case Verb::repair:
      drop(broken_, event.subunit);
      break;
    case Verb::offline:
    case Verb::online:
      offline_ = event.verb == Verb::offline;
      break;
    case Verb::rate:
      rate_ = event.number;
      if (rate_ > 0) next_page_ = now_ + page_period(rate_);
      break;
    case Verb::print:
      for (auto pages = static_cast<std::int64_t>(event.number); pages > 0 && can_print_; --pages) {
        print_page();
        settle(now_);
      }
      break;
    case Verb::console:
      console_[row] = event.text;
      break;
    case Verb::off:
      manners_.off = true;
      break;
    case Verb::on:
      switch_on(now_);
      break;
    case Verb::fault:
      manners_.fault = *parse_fault_name(event.text);
      manners_.fault_share = event.number / 100.0;
      break;
    case Verb::slow:
      manners_.delay_ms = static_cast<std::int64_t>(event.number);
      break;
    case Verb::loss:
      manners_.loss = std::min(1.0, event.number / 100.0);
      break;
    case Verb::alert: {
      Condition c;
      c.severity = event.numbers[0];
      c.training = event.numbers[1];
      c.location = event.numbers[2];
      c.code = event.numbers[3];
      c.subunit = event.subunit;
      c.text = nullptr;
      c.own = event.text;
      raw_alerts_.push_back(c);
      break;
    }
    case Verb::unalert:
      std::erase_if(raw_alerts_,
                    [&](const Condition& c) { return c.subunit == event.subunit && c.code == event.numbers[0]; });
      break;
    case Verb::set:
    case Verb::unset:
      std::erase_if(overrides_, [&](const Extra& extra) { return extra.oid == event.oid; });
      std::erase(hidden_, event.oid);
      if (event.verb == Verb::set) {
        Extra extra{event.oid, {}, event.value};
        ber::append_oid(extra.name, extra.oid);
        overrides_.push_back(std::move(extra));
      }
      break;
    case Verb::hide:
      if (std::find(hidden_.begin(), hidden_.end(), event.oid) == hidden_.end()) hidden_.push_back(event.oid);
      break;
    case Verb::link_errors:
      link_errors_ += static_cast<std::uint32_t>(event.number);
      break;
  }
  settle(now_);
}

// Makes everything that follows from the parts' state follow again.
void Device::settle(SimTime now) {
  const auto now_so = conditions();
  const bool could = printing();
  can_print_ = !manners_.off && !offline_ && !warming(now) &&
               std::none_of(now_so.begin(), now_so.end(), [](const Condition& c) { return c.severity == kCritical; });
  if (printing() && !could) next_page_ = now + page_period(rate_);
  const bool empty =
      std::any_of(trays_.begin(), trays_.end(), [](const Tray& t) { return t.present && t.level <= 0; }) ||
      std::any_of(supplies_.begin(), supplies_.end(), [](const Supply& s) { return !s.present || s.level <= 0; });
  if (tended_ms_ >= 0 && empty && !tend_at_) tend_at_ = now + SimTime(tended_ms_);
  if (!empty) tend_at_.reset();
  if (!manners_.off) update_alerts(now_so, now);
  fill(now_so, now);
  const auto told = std::exchange(untold_, {});
  if (on_critical)
    for (const auto& alert : told) on_critical(*this, alert);
}

bool Device::make_room_for(const Condition& condition) {
  if (alerts_.size() < model_->alert_rows) return true;
  const auto victim = std::min_element(alerts_.begin(), alerts_.end(), [](const AlertRow& a, const AlertRow& b) {
    const int rank_a = eviction_rank(a.condition.severity);
    const int rank_b = eviction_rank(b.condition.severity);
    return rank_a != rank_b ? rank_a < rank_b : a.index < b.index;
  });
  if (eviction_rank(victim->condition.severity) > eviction_rank(condition.severity)) return false;
  // A unary warning does not come back; a state that still holds waits for room.
  if (victim->condition.severity == kUnaryWarning) {
    std::erase_if(raw_alerts_, [&](const Condition& c) { return c.same_alert(victim->condition); });
  } else {
    waiting_.push_back(victim->condition);
  }
  alerts_.erase(victim);
  return true;
}

void Device::update_alerts(const std::vector<Condition>& now_so, SimTime now) {
  const auto holds = [&](const Condition& c) {
    return std::any_of(now_so.begin(), now_so.end(), [&](const Condition& other) { return other.same_alert(c); });
  };
  std::erase_if(alerts_, [&](const AlertRow& row) { return !holds(row.condition); });
  std::erase_if(waiting_, [&](const Condition& c) { return !holds(c); });
  const auto add = [&](const Condition& c) {
    alerts_.push_back({++last_alert_, uptime(now), c});
    ++all_events_;
    if (c.severity != kCritical) return;
    ++critical_events_;
    ++device_errors_;
    untold_.push_back({last_alert_, uptime(now), c});
  };
  for (const auto& c : now_so) {
    const auto same = [&](const Condition& other) { return other.same_alert(c); };
    if (std::any_of(alerts_.begin(), alerts_.end(), [&](const AlertRow& row) { return same(row.condition); })) continue;
    if (std::any_of(waiting_.begin(), waiting_.end(), same)) continue;
    // A unary warning may have been pushed out a moment ago, by one of those before it.
    const bool unary = c.severity == kUnaryWarning;
    if (unary && std::none_of(raw_alerts_.begin(), raw_alerts_.end(), same)) continue;
    if (make_room_for(c)) {
      add(c);
    } else if (unary) {
      std::erase_if(raw_alerts_, same);
    } else {
      waiting_.push_back(c);
    }
  }
  while (!waiting_.empty() && alerts_.size() < model_->alert_rows) {
    const auto back = waiting_.front();
    waiting_.erase(waiting_.begin());
    add(back);
  }
}

View Device::view(SimTime now) const {
  return View(model_->mib, filled_, extras_, hidden_, !overrides_.empty(), uptime(now));
}

}  // namespace frisket::simfleet
