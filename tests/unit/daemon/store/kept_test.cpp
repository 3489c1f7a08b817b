// What is kept comes back whole, and rubbish is refused in words.
#include <boost/pfr.hpp>

#include "daemon/store/kept_device.h"
#include "daemon/store/kept_incident.h"
#include "daemon/store/kept_memory.h"
#include "daemon/store/kept_snapshot.h"
#include "fixtures.h"

namespace frisket::store::testing {
namespace {

// Sets everything in a value to something that is not its default. The fields are found by the compiler
// (Boost.PFR), not by the lists that are tested here.
class Filler {
 public:
  template <class T>
  void fill(T& value) {
    using namespace model;
    if constexpr (std::is_same_v<T, bool>)
      value = !value;
    else if constexpr (std::is_enum_v<T>)
      value = static_cast<T>(static_cast<int>(value) == 1 ? 2 : 1);
    else if constexpr (std::is_arithmetic_v<T>)
      value = static_cast<T>(++count_);
    else if constexpr (std::is_same_v<T, std::string>)
      value = "text " + std::to_string(++count_);
    else if constexpr (std::is_same_v<T, WallTime>)
      value = kMorning + std::chrono::milliseconds(++count_);
    else if constexpr (std::is_same_v<T, Level> || std::is_same_v<T, Capacity>)
      value = Amount{++count_};
    else if constexpr (std::is_same_v<T, ErrorBits>)
      value = ErrorBits{ErrorBit::jammed, ErrorBit::overdue_prevent_maint};
    else
      fill_parts(value);
  }

 private:
  template <class T>
  void fill_parts(std::optional<T>& value) {
    fill(value.emplace());
  }
  template <class T>
  void fill_parts(std::vector<T>& value) {
    fill(value.emplace_back());
    fill(value.emplace_back());
  }
  template <class K, class V>
  void fill_parts(std::map<K, V>& value) {
    for (int i = 0; i < 2; ++i) {
      K key{};
      fill(key);
      fill(value[key]);
    }
  }
  template <class T>
    requires std::is_aggregate_v<T>
  void fill_parts(T& value) {
    boost::pfr::for_each_field(value, [this](auto& field) { fill(field); });
  }

  int count_ = 0;
};

template <class T>
T filled() {
  T value{};
  Filler().fill(value);
  return value;
}

// No field is at its default, or the round trip would prove nothing.
template <class T>
void check_filled(const T& value) {
  const T standard{};
  boost::pfr::for_each_field(value, [&](const auto& field, auto index) {
    INFO("field " << index);
    CHECK_FALSE(field == boost::pfr::get<index>(standard));
  });
}

TEST_CASE("every field of an incident survives being kept") {
  const auto incident = filled<Incident>();
  check_filled(incident);
  CHECK(must(incident_from(kept_text(incident))) == incident);
}

TEST_CASE("every field of a device memory survives being kept") {
  const auto memory = filled<incidents::DeviceMemory>();
  check_filled(memory);
  CHECK(must(memory_from(kept_text(memory))) == memory);
}

TEST_CASE("every field of a snapshot survives being kept") {
  const auto snapshot = filled<model::DeviceSnapshot>();
  check_filled(snapshot);
  CHECK(must(snapshot_from(kept_text(snapshot))) == snapshot);
}

TEST_CASE("values at their defaults survive being kept, in few octets") {
  CHECK(must(incident_from(kept_text(Incident{}))) == Incident{});
  CHECK(must(memory_from(kept_text(incidents::DeviceMemory{}))) == incidents::DeviceMemory{});
  CHECK(must(snapshot_from(kept_text(model::DeviceSnapshot{}))) == model::DeviceSnapshot{});
  CHECK(kept_text(incidents::DeviceMemory{}) == R"({"reach":{"last":"answered","missed":0}})");
}

// RFC 3805 section 2.4 and prtMarkerSuppliesLevel: -1, -2 and -3 have meanings of their own.
TEST_CASE("each meaning of a level is told from the others when it comes back") {
  model::DeviceSnapshot snapshot;
  for (const model::Level level : {model::Level(model::Unknown{}), model::Level(model::Unlimited{}),
                                   model::Level(model::SomeLeft{}), model::Level(model::Amount{0})}) {
    model::Supply supply;
    supply.level = level;
    supply.max_capacity = model::Unlimited{};
    snapshot.supplies.push_back(supply);
  }
  CHECK(must(snapshot_from(kept_text(snapshot))) == snapshot);
}

TEST_CASE("every error bit, and no error bit at all, survives being kept") {
  model::DeviceSnapshot snapshot;
  snapshot.host.errors = model::ErrorBits{};
  CHECK(must(snapshot_from(kept_text(snapshot))) == snapshot);
  snapshot.host.errors = model::ErrorBits::decode("\xFF\xFF");
  REQUIRE(snapshot.host.errors->list().size() == 15);
  CHECK(must(snapshot_from(kept_text(snapshot))) == snapshot);
}

TEST_CASE("every availability and flag of a subunit survives being kept") {
  model::DeviceSnapshot snapshot;
  for (int wire = 0; wire < 128; ++wire) {
    model::Input input;
    input.status = model::SubunitStatus::decode(wire);
    snapshot.inputs.push_back(input);
  }
  CHECK(must(snapshot_from(kept_text(snapshot))) == snapshot);
}

TEST_CASE("a number that no edition of a standard lists survives being kept") {
  model::DeviceSnapshot snapshot;
  model::Alert alert;
  alert.code = static_cast<model::AlertCode>(-31999);
  snapshot.alerts = {alert};
  CHECK(must(snapshot_from(kept_text(snapshot))) == snapshot);
}

// Each enumeration that is kept as a word, through its whole range.
template <class E>
void check_words(E last) {
  for (int number = 0; number <= static_cast<int>(last); ++number) {
    E value{};
    Misfit misfit;
    Kept<E>::from(Kept<E>::to(static_cast<E>(number)), value, misfit);
    CHECK(misfit.none());
    CHECK(static_cast<int>(value) == number);
  }
}

TEST_CASE("every word of an enumeration leads back to its value") {
  check_words(incidents::What::proved);
  check_words(incidents::Proof::unseen);
  check_words(incidents::OperatorState::closed);
  check_words(Incident::State::cleared);
  check_words(incidents::Witness::Source::history);
  check_words(Notice::Reason::test);
  check_words(Notice::State::dropped);
  check_words(model::Reach::nonsense);
  check_words(model::Severity::critical);
  check_words(model::Training::field_service);
  check_words(model::Subunit::Kind::other);
}

TEST_CASE("numbers at the ends of their range survive being kept") {
  auto value = incident("a", WallTime::min());
  value.impressions_at_clear = UINT64_MAX;
  value.times_raised = INT32_MIN;
  CHECK(must(incident_from(kept_text(value))) == value);
}

TEST_CASE("fields that nobody knows are passed over, and missing ones have their defaults") {
  const auto read = must(incident_from(R"({"id": "a", "phase of the moon": {"full": [1, 2]}, "severity": "minor"})"));
  Incident expected;
  expected.id = "a";
  expected.severity = model::Severity::minor;
  CHECK(read == expected);
}

TEST_CASE("what does not fit is refused with the way to it") {
  const auto [text, why] = GENERATE(table<std::string, std::string>({
      {"", "the whole is not JSON"},
      {"{\"id\": ", "the whole is not JSON"},
      {"\xFF\xFE", "the whole is not JSON"},
      {"[]", "the whole is not an object"},
      {"null", "the whole is not an object"},
      {R"({"id": 7})", "id is not a text"},
      {R"({"severity": "dreadful"})", "severity is a word that is not known here"},
      {R"({"severity": 2})", "severity is not a word"},
      {R"({"raised_at": "yesterday"})", "raised_at is not a whole number that fits"},
      {R"({"raised_at": 9223372036854775808})", "raised_at is not a whole number that fits"},
      {R"({"raised_at": 1e300})", "raised_at is not a whole number that fits"},
      {R"({"times_raised": 2147483648})", "times_raised is not a whole number that fits"},
      {R"({"impressions_at_clear": -1})", "impressions_at_clear is not a whole number that fits"},
      {R"({"chattering": 1})", "chattering is not true or false"},
      {R"({"evidence": {}})", "evidence is not a list"},
      {R"({"evidence": [{}, {"witnesses": [3]}]})", "evidence, entry 2, witnesses, entry 1 is not an object"},
      {R"({"subunit": "input:2"})", "subunit is not an object"},
  }));
  const auto read = incident_from(text);
  REQUIRE_FALSE(read);
  CHECK(read.error().kind == model::Error::Kind::invalid);
  CHECK(read.error().text() == "reading a kept incident: " + why);
}

TEST_CASE("pairs and keys that do not fit are refused with the way to them") {
  const auto [text, why] = GENERATE(table<std::string, std::string>({
      {R"({"stages": {"1": "low"}})", "stages is not a list"},
      {R"({"stages": [[1]]})", "stages, entry 1 is not a pair"},
      {R"({"stages": [["x", "low"]]})", "stages, entry 1 is not a whole number that fits"},
      {R"({"stages": [[1, "gone"]]})", "stages, entry 1 is a word that is not known here"},
  }));
  const auto read = memory_from(text);
  REQUIRE_FALSE(read);
  CHECK(read.error().text() == "reading a kept device memory: " + why);
}

// Every kept text with one octet changed or cut off: an answer or an error, and never an exception.
TEST_CASE("no change of one octet and no cut makes the reading throw") {
  const auto text = kept_text(incident("a"));
  int refused = 0;
  for (std::size_t place = 0; place < text.size(); ++place) {
    CHECK_FALSE(incident_from(text.substr(0, place)));
    for (const char c : {'\0', '"', '{', ']', '9', '\x80'}) {
      auto changed = text;
      changed[place] = c;
      if (!incident_from(changed)) ++refused;
    }
  }
  CHECK(refused > static_cast<int>(text.size()));
}

TEST_CASE("deep nesting is refused and does no harm") {
  CHECK_FALSE(snapshot_from(std::string(1'000'000, '[')));
  CHECK_FALSE(snapshot_from("{\"inputs\":" + std::string(100'000, '[') + std::string(100'000, ']') + "}"));
}

TEST_CASE("a text that is no UTF-8 is kept with its bad octets replaced") {
  auto odd = incident("a");
  odd.summary = "tray \xFF";
  CHECK(must(incident_from(kept_text(odd))).summary == "tray \xEF\xBF\xBD");
}

}  // namespace
}  // namespace frisket::store::testing
