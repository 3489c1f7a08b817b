#include "daemon/incidents/causes.h"

#include <algorithm>
#include <map>
#include <tuple>

#include "daemon/incidents/history.h"
#include "daemon/incidents/kinds.h"

namespace frisket::incidents {
namespace {

constexpr std::string_view kJam = "jam";

// A subunit that is named beats one that is not.
auto standing(const Condition& condition) {
  return std::tuple(rank_of(condition.keyword), condition.subunit.index == 0, condition.subunit, condition.keyword);
}

bool leads(const Condition& a, const Condition& b) { return standing(a) < standing(b); }

// The key under which conditions come together.
std::map<Home, Home> causes_of(const std::vector<Condition>& conditions) {
  std::map<Home, Home> cause;
  for (const auto& condition : conditions) cause[home_of(condition)] = home_of(condition);
  const Home jam{std::string(kJam), {}};
  const bool jammed = std::ranges::any_of(conditions, is_jam);
  for (const auto& condition : conditions) {
    const auto home = home_of(condition);
    if (home.first == kJam || (jammed && stands_open(condition))) cause[home] = jam;
    // A cover that cannot close is one problem with the cover that is open.
    if (condition.keyword == "tray-misload" && condition.subunit.kind == Subunit::Kind::cover)
      cause[home] = Home{"cover", condition.subunit};
  }
  return cause;
}

}  // namespace

Home home_of(const Condition& condition) { return {family_of(condition.keyword), condition.subunit}; }

Severity Problem::severity() const { return std::ranges::max_element(conditions, {}, &Condition::severity)->severity; }

std::set<Home> Problem::homes() const {
  std::set<Home> homes;
  for (const auto& condition : conditions) homes.insert(home_of(condition));
  return homes;
}

std::vector<Problem> problems_of(std::vector<Condition> conditions) {
  std::ranges::sort(conditions, leads);
  const auto cause = causes_of(conditions);
  std::vector<Problem> problems;
  std::map<Home, std::size_t> place;
  for (auto& condition : conditions) {
    const auto [entry, fresh] = place.emplace(cause.at(home_of(condition)), problems.size());
    if (fresh) problems.emplace_back();
    problems[entry->second].conditions.push_back(std::move(condition));
  }
  return problems;
}

}  // namespace frisket::incidents
