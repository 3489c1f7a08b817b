// Properties that hold for any readings: random devices, fixed seeds.
#include <algorithm>
#include <catch2/catch.hpp>
#include <random>
#include <set>

#include "fixtures.h"

using namespace frisket;
using namespace frisket::incidents;
using namespace frisket::incidents::testing;

namespace {

constexpr int kSequences = 150;
constexpr int kReadings = 25;

class Chance {
 public:
  explicit Chance(unsigned seed) : engine_(seed) {}
  int between(int low, int high) { return std::uniform_int_distribution<int>(low, high)(engine_); }
  bool once_in(int n) { return between(1, n) == 1; }
  template <class Rows>
  void shuffle(Rows& rows) {
    std::shuffle(rows.begin(), rows.end(), engine_);
  }

 private:
  std::mt19937 engine_;
};

model::Alert random_alert(Chance& chance, std::int32_t index) {
  static const std::vector<std::int32_t> kCodes = [] {
    std::vector<std::int32_t> codes;
    for (const auto& row : model::listed<model::AlertCode>()) codes.push_back(row.value);
    for (const std::int32_t code : {30203, 30208, 30212, 30213, 30824, 31815, 4711}) codes.push_back(code);
    return codes;
  }();
  model::Alert row;
  row.index = index;
  row.severity = static_cast<model::AlertSeverity>(chance.between(1, 5));
  row.group = static_cast<model::AlertGroup>(chance.between(4, 14));
  row.group_index = chance.between(-1, 3);
  row.code = static_cast<model::AlertCode>(
      kCodes[static_cast<std::size_t>(chance.between(0, static_cast<int>(kCodes.size()) - 1))]);
  row.training = static_cast<model::AlertTraining>(chance.between(1, 7));
  if (chance.once_in(2)) row.description = "text " + std::to_string(chance.between(1, 3));
  return row;
}

void change_something(Chance& chance, model::DeviceSnapshot& snapshot, std::int32_t& next_row) {
  const auto level = [&]() -> model::Level {
    const int kind = chance.between(1, 8);
    if (kind == 1) return model::SomeLeft{};
    if (kind == 2) return model::Unknown{};
    return model::Amount{chance.once_in(3) ? 0 : chance.between(0, 30)};
  };
  switch (chance.between(1, 9)) {
    case 1:
      snapshot.covers[static_cast<std::size_t>(chance.between(0, 1))].status =
          static_cast<model::CoverStatus>(chance.between(1, 6));
      break;
    case 2:
      snapshot.supplies[static_cast<std::size_t>(chance.between(0, 1))].level = level();
      break;
    case 3:
      snapshot.inputs[static_cast<std::size_t>(chance.between(0, 2))].current_level = level();
      break;
    case 4:
      snapshot.inputs[static_cast<std::size_t>(chance.between(0, 2))].status =
          model::SubunitStatus::decode(chance.between(0, 127));
      break;
    case 5:
      snapshot.outputs[0].remaining_capacity = level();
      break;
    case 6:
      snapshot.host.errors =
          model::ErrorBits::decode(std::string{static_cast<char>(chance.between(0, 255) & chance.between(0, 255)),
                                               static_cast<char>(chance.between(0, 255) & chance.between(0, 255))});
      break;
    case 7:
      snapshot.host.device = static_cast<model::HostDeviceStatus>(chance.between(1, 5));
      snapshot.host.printer = static_cast<model::HostPrinterStatus>(chance.between(1, 5));
      break;
    case 8:
      snapshot.alerts.push_back(random_alert(chance, next_row++));
      break;
    default:
      if (!snapshot.alerts.empty())
        snapshot.alerts.erase(snapshot.alerts.begin() +
                              chance.between(0, static_cast<int>(snapshot.alerts.size()) - 1));
  }
}

model::DeviceSnapshot full_device() {
  auto snapshot = healthy();
  auto bypass = tray(3);
  bypass.type = model::InputType::sheet_feed_manual;
  snapshot.inputs.push_back(bypass);
  snapshot.supplies.push_back(toner(2, "cyan", 60));
  return snapshot;
}

// A random life of one device; `each` is called with every reading.
template <class Each>
void live(unsigned seed, Each each) {
  Chance chance(seed);
  auto snapshot = full_device();
  std::int32_t next_row = 1;
  auto at = kMorning;
  for (int i = 0; i < kReadings; ++i) {
    for (int changes = chance.between(1, 4); changes > 0; --changes) change_something(chance, snapshot, next_row);
    at += std::chrono::seconds(chance.between(10, 300));
    auto next = chance.once_in(8) ? missed(at, static_cast<model::Reach>(chance.between(1, 3))) : reading(snapshot, at);
    each(next, chance);
  }
}

std::vector<const Incident*> raised(const Correlator& correlator) {
  auto all = correlator.incidents();
  std::erase_if(all, [](const Incident* incident) { return incident->state != Incident::State::raised; });
  return all;
}

std::string evidence_of(const Incident& incident) {
  std::string words;
  for (const auto& condition : incident.evidence)
    words +=
        ", " + condition_key(condition.keyword, condition.subunit) + " " + std::string(to_text(condition.severity));
  return words;
}

std::vector<std::string> in_words(const std::vector<Transition>& transitions) {
  std::vector<std::string> words;
  for (const auto& [what, at, incident] : transitions)
    words.push_back(std::string(to_text(what)) + " " + incident.id + " " + incident.kind + " " +
                    to_text(incident.subunit.value_or(Subunit{})) + " " + std::string(to_text(incident.severity)) +
                    evidence_of(incident));
  return words;
}

}  // namespace

TEST_CASE("no readings give two raised incidents of one device, kind and subunit") {
  std::size_t most = 0;
  for (unsigned seed = 1; seed <= kSequences; ++seed) {
    Correlator correlator(one_device());
    live(seed, [&](const model::DeviceReading& next, Chance&) {
      correlator.apply(next);
      std::set<std::pair<std::string, Subunit>> seen;
      std::set<std::pair<std::string, Subunit>> evidence;
      for (const auto* incident : raised(correlator)) {
        INFO("seed " << seed << ", " << incident->kind);
        CHECK(seen.emplace(incident->kind, incident->subunit.value_or(Subunit{})).second);
        for (const auto& condition : incident->evidence)
          CHECK(evidence.emplace(condition.keyword, condition.subunit).second);
      }
      most = std::max(most, seen.size());
    });
  }
  CHECK(most >= 5);  // else the readings were too tame to show anything
}

TEST_CASE("repeating a reading changes nothing") {
  std::size_t told = 0;
  for (unsigned seed = 1; seed <= kSequences; ++seed) {
    Correlator correlator(one_device());
    live(seed, [&](const model::DeviceReading& next, Chance&) {
      const auto first = correlator.apply(next);
      told += first.size();
      if (next.reach != model::Reach::answered) return;
      INFO("seed " << seed << ", after " << Catch::StringMaker<std::vector<std::string>>::convert(in_words(first)));
      CHECK(in_words(correlator.apply(next)) == std::vector<std::string>{});
      CHECK(correlator.tick(next.at).empty());
    });
  }
  CHECK(told > 1000);
}

TEST_CASE("the order of the alert rows does not matter") {
  for (unsigned seed = 1; seed <= kSequences; ++seed) {
    Correlator listed(one_device());
    Correlator shuffled(one_device());
    live(seed, [&](const model::DeviceReading& next, Chance& chance) {
      auto other = next;
      if (next.snapshot != nullptr) {
        auto snapshot = *next.snapshot;
        chance.shuffle(snapshot.alerts);
        other.snapshot = std::make_shared<const model::DeviceSnapshot>(std::move(snapshot));
      }
      INFO("seed " << seed);
      CHECK(in_words(listed.apply(next)) == in_words(shuffled.apply(other)));
      CHECK(listed.device("herbarium-copier")->conditions == shuffled.device("herbarium-copier")->conditions);
    });
  }
}

TEST_CASE("a restart between any two readings changes no transition and no id") {
  for (unsigned seed = 1; seed <= kSequences; ++seed) {
    Correlator steady(one_device());
    Correlator restarted(one_device());
    live(seed, [&](const model::DeviceReading& next, Chance&) {
      Correlator fresh(one_device());
      CHECK(fresh.restore(restarted.memory(), next.at).empty());
      restarted = std::move(fresh);
      INFO("seed " << seed);
      CHECK(in_words(steady.apply(next)) == in_words(restarted.apply(next)));
    });
    CHECK(steady.memory() == restarted.memory());
  }
}

TEST_CASE("the same readings give the same incidents with the same ids, in rising order") {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    Correlator one(one_device());
    Correlator two(one_device());
    std::string last;
    live(seed, [&](const model::DeviceReading& next, Chance&) {
      const auto transitions = one.apply(next);
      CHECK(in_words(transitions) == in_words(two.apply(next)));
      for (const auto& transition : transitions) {
        if (transition.what != Transition::What::raised || transition.incident.times_raised > 1) continue;
        CHECK(transition.incident.id > last);
        last = transition.incident.id;
      }
    });
    CHECK(one.memory() == two.memory());
  }
}
