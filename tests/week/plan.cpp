#include "plan.h"

#include <algorithm>
#include <map>

#include "stories.h"

namespace frisket::week {

using namespace std::chrono_literals;

namespace {

constexpr WallTime kMonday = std::chrono::sys_days{std::chrono::year{2026} / 3 / 2};
constexpr int kDevices = 200;
constexpr Seconds kBetween = 20min;  // more than rules.returns_within: what comes after is another problem
constexpr int kTries = 400;

const std::vector<std::string> kSites = {"glasshouse", "alpine-house", "seed-bank", "herbarium"};
// RFC 5737 and RFC 3849: nobody has these.
const std::vector<std::string> kNetworks = {"192.0.2.", "198.51.100.", "203.0.113.", "2001:db8::"};

// How often a story is told in the whole fleet in one week. Invented; about 1.7 problems for each printer.
struct Told {
  Teller teller;
  int times;
};
constexpr Told kTold[] = {{jam, 55},
                          {tray_runs_empty, 70},
                          {tray_left_open, 14},
                          {tray_opened_for_a_moment, 24},
                          {bin_fills, 20},
                          {bypass_asks, 30},
                          {toner_is_replaced_in_time, 16},
                          {toner_runs_out, 14},
                          {cover_left_open, 14},
                          {cover_opened_for_a_moment, 24},
                          {fuser_fails, 5},
                          {stop_without_a_reason, 6},
                          {service_is_asked_for, 6},
                          {maintenance_is_overdue, 4},
                          {off_line_for_a_moment, 50},
                          {off_line_for_long, 10},
                          {switched_off, 8},
                          {restarts, 50},
                          {restarts_with_an_empty_tray, 8},
                          {cable_flaps, 2},
                          {cable_spoils, 2},
                          {reports_something, 100},
                          {naps, 300}};

Dialect dialect_of(int number, Dice& dice) {
  Dialect dialect;
  switch (number % 20) {
    case 0:
    case 1:
    case 2:  // the bits and the subunits' status only
      dialect.rows = false;
      break;
    case 3:
    case 4:  // the table only
      dialect.bits = dialect.status = false;
      break;
    case 5:
    case 6:
    case 7:
    case 8:
    case 9:
      dialect.status = false;
      dialect.unary = true;
      break;
    default:
      break;
  }
  dialect.panel = dice.one_in(2);
  dialect.twice = dice.one_in(3);
  dialect.colour = dice.one_in(3);
  dialect.own_media = dice.one_in(4);
  dialect.early_low = dice.one_in(3);
  dialect.tray_is_door = dice.one_in(4);
  return dialect;
}

class Planner {
 public:
  explicit Planner(std::uint64_t seed) : dice_(seed) {
    plan_.begins = kMonday;
    plan_.ends = kMonday + 7 * 24h;
    for (int i = 0; i < kDevices; ++i) {
      const auto& site = kSites[static_cast<std::size_t>(i) % kSites.size()];
      plan_.fleet.push_back({site + "-" + std::to_string(100 + i), site, dialect_of(i / 4, dice_)});
    }
    const auto dies = kMonday + 24h * dice_.between(0, 4) + 9h + dice_.between(Seconds{0s}, Seconds{8h});
    plan_.outages.push_back({dice_.one_of(kSites), dies, dies + 20min});
    plan_.restart = kMonday + 2 * 24h + 10h + dice_.between(Seconds{0s}, Seconds{2h});
    plan_.restarted = plan_.restart + 90s;
  }

  Plan plan() {
    wear_rollers();
    for (const auto& told : kTold)
      for (int i = 0; i < told.times; ++i) tell(told.teller);
    for (const auto& member : plan_.fleet) {
      nights(member);
      jobs(member);
    }
    return std::move(plan_);
  }

 private:
  WallTime busy_moment(std::int64_t day) {
    return kMonday + 24h * day + 7h + 35min + dice_.between(Seconds{0s}, Seconds{11h});
  }

  static bool is_busy(WallTime at) {
    const auto hour = at - std::chrono::floor<std::chrono::days>(at);
    return at < kMonday + 5 * 24h && hour >= 7h + 30min && hour < 19h;
  }

  void tell(Teller teller) {
    for (int i = 0; i < kTries; ++i) {
      const auto& member = dice_.one_of(plan_.fleet);
      auto episode = teller(Story(member, busy_moment(dice_.between(0, 4)), dice_));
      if (fits(episode, member)) return keep(std::move(episode));
    }
  }

  // Two printers jam at one place again and again through a day.
  void wear_rollers() {
    for (int i = 0; i < 2; ++i) {
      const auto& member = plan_.fleet[static_cast<std::size_t>(20 + 41 * i)];
      const auto day = dice_.between(0, 2);
      std::vector<Episode> jams;
      WallTime next = kMonday + 24h * day + 8h;
      for (int n = 0; n < 6; ++n) {
        jams.push_back(jam_at_roller(Story(member, next, dice_)));
        next = jams.back().until + dice_.between(Seconds{25min}, Seconds{60min});
      }
      worn_.push_back(member.name);
      one_trouble(jams);
      for (auto& jam : jams) keep(std::move(jam));
    }
  }

  // docs/incidents.md: rules.jam_repeats (3) jams at one place within rules.jam_within (24 h) are jam-recurring, with
  // each further one and the time between, until the jams of that time are fewer.
  static void one_trouble(std::vector<Episode>& jams) {
    auto& third = jams[2].truths.front();
    third.what = "worn roller at input:2";
    third.kinds = {"media-jam", "jam-recurring"};
    third.until = jams[jams.size() - 3].from + 24h;
    for (std::size_t i = 3; i < jams.size(); ++i) jams[i].truths.clear();
  }

  static bool gets_low(const Episode& episode) { return episode.alone_from != episode.from; }

  bool fits(const Episode& episode, const Member& member) {
    if (!is_busy(episode.until)) return false;
    const bool about_reach =
        std::ranges::any_of(episode.truths, [](const Truth& truth) { return truth.shown != Shown::by_an_answer; });
    if (about_reach)
      for (const auto& outage : plan_.outages)
        if (outage.site == member.site && episode.from < outage.until + 40min && outage.from < episode.until + 40min)
          return false;
    if (about_reach && episode.from < plan_.restarted + 10min && plan_.restart < episode.until + 10min) return false;
    const bool jams = !episode.truths.empty() && episode.truths.front().what.starts_with("jam");
    if (jams && std::ranges::find(worn_, member.name) != worn_.end()) return false;
    for (const auto& other : kept_[member.name]) {
      if (episode.alone_from < other.until + kBetween && other.from < episode.until + kBetween) return false;
      if (gets_low(episode) && other.gets_low) return false;
      // Of a third jam at one place within a day the worn rollers tell.
      if (jams && other.jam && std::chrono::abs(other.from - episode.from) < 25h) return false;
    }
    return true;
  }

  void keep(Episode episode) {
    const bool jam = !episode.truths.empty() && episode.truths.front().what.starts_with("jam");
    kept_[episode.device].push_back({episode.alone_from, episode.until, jam, gets_low(episode)});
    plan_.episodes.push_back(std::move(episode));
  }

  void nights(const Member& member) {
    for (int day = -1; day < 5; ++day) {
      const auto evening = day < 0 ? kMonday : kMonday + 24h * day + 19h + dice_.between(Seconds{1min}, Seconds{50min});
      const auto morning =
          kMonday + 24h * (day == 4 ? 7 : day + 1) + 6h + dice_.between(Seconds{20min}, Seconds{80min});
      plan_.episodes.push_back(sleeps_until(Story(member, evening, dice_), morning));
    }
  }

  void jobs(const Member& member) {
    Story story(member, kMonday + 7h + 31min, dice_);
    std::int32_t toner = static_cast<std::int32_t>(dice_.between(60, 95));
    for (int day = 0; day < 5; ++day) {
      story.wait(std::chrono::duration_cast<Seconds>(kMonday + 24h * day + 7h + 31min - story.now()));
      while (is_busy(story.now())) {
        const auto pages = static_cast<std::uint32_t>(dice_.between(1, 30));
        story.happens([pages](Printer& printer) { printer.print(pages); });
        story.wait(2min, 9min);
      }
      // A little less each day, and never low: what runs out is told in a story of its own.
      toner -= 4;
      story.happens([toner](Printer& printer) {
        if (printer.toner_left() > 20) printer.toner(toner);
      });
    }
    plan_.episodes.push_back(story.take());
  }

  struct Kept {
    WallTime from;
    WallTime until;
    bool jam;
    bool gets_low;
  };

  Dice dice_;
  Plan plan_;
  std::map<std::string, std::vector<Kept>> kept_;
  std::vector<std::string> worn_;
};

}  // namespace

std::vector<Truth> Plan::truths() const {
  std::vector<Truth> all;
  for (const auto& episode : episodes) all.insert(all.end(), episode.truths.begin(), episode.truths.end());
  for (const auto& outage : outages) {
    Truth truth;
    truth.site = outage.site;
    truth.what = "the switch is dead";
    truth.kinds = {"site-silent"};
    truth.from = outage.from;
    truth.until = outage.until;
    truth.shown = Shown::by_a_silent_place;
    all.push_back(std::move(truth));
  }
  return all;
}

Plan plan_of(std::uint64_t seed) { return Planner(seed).plan(); }

config::Config config_of(const Plan& plan) {
  config::Config config;
  for (const auto& site : kSites) config.sites.push_back({site, "Europe/Dublin"});
  int number = 10;
  for (const auto& member : plan.fleet) {
    config::Device device;
    device.name = member.name;
    device.site = member.site;
    const auto place = static_cast<std::size_t>(std::ranges::find(kSites, member.site) - kSites.begin());
    device.address = kNetworks[place] + std::to_string(number / 4);
    ++number;
    config.devices.push_back(std::move(device));
  }
  return config;
}

}  // namespace frisket::week
