// One suite for every store: what the interface promises, whatever is behind it.
#include "daemon/store/memory_store.h"
#include "daemon/store/sqlite_store.h"
#include "daemon/upkeep/weeks.h"
#include "fixtures.h"
#include "temporary_folder.h"

namespace frisket::store::testing {
namespace {

// A backend supplies the store, and reopen(): the daemon's restart, where the store outlives it.
class SqliteBackend {
 public:
  SqliteBackend() { reopen(); }
  Store& store() { return *store_; }
  void reopen() {
    store_.reset();
    auto opened = must(open_sqlite(folder_.path() / kStoreFile, kMorning));
    CHECK(opened.findings.empty());
    store_ = std::move(opened.store);
  }

 private:
  TemporaryFolder folder_;
  std::unique_ptr<Store> store_;
};

class MemoryBackend {
 public:
  Store& store() { return store_; }
  void reopen() {}

 private:
  MemoryStore store_;
};

#define STORE_TEST(name) TEMPLATE_TEST_CASE(name, "", SqliteBackend, MemoryBackend)

STORE_TEST("a new store holds nothing") {
  TestType backend;
  CHECK(must(backend.store().memory()) == incidents::CorrelatorMemory{});
  CHECK(must(backend.store().outbox()).empty());
  CHECK(must(backend.store().last_notice_number()) == 0);
  CHECK(must(backend.store().replacements("herbarium-copier")).empty());
  CHECK(must(backend.store().transitions_since(WallTime{})).empty());
  CHECK(must(backend.store().readings_since(WallTime{})).empty());
  CHECK(must(backend.store().audit({})).empty());
  CHECK(must(backend.store().history_devices()).empty());
  CHECK(must(backend.store().history("herbarium-copier", WallTime{})).empty());
  CHECK(must(backend.store().watched_until()) == std::nullopt);
}

upkeep::Change count_at(WallTime at, std::uint32_t count) { return {at, upkeep::CountChange{count, false}}; }

Batch with_history(std::vector<DeviceChanges> history) {
  Batch batch;
  batch.history = std::move(history);
  return batch;
}

STORE_TEST("a device's history comes back in order of time, over weeks and restarts") {
  TestType backend;
  const std::string copier = "herbarium-copier";
  const std::string other = "seed-bank-label-printer";
  const auto week = 24h * 7;
  must(backend.store().write(with_history({{copier, {count_at(kMorning, 5), count_at(kMorning + week, 9)}},
                                           {other, {count_at(kMorning, 70)}},
                                           {copier, {count_at(kMorning + week + 1h, 10)}}})));
  must(backend.store().write(with_history({{copier, {count_at(kMorning + 1h, 6), {kMorning + 2h, upkeep::Lost{}}}}})));
  backend.reopen();
  must(backend.store().write(with_history({{copier, {{kMorning + 3h, upkeep::Heard{}}}}})));
  CHECK(must(backend.store().history_devices()) == std::vector{copier, other});
  CHECK(must(backend.store().history(copier, WallTime{})) == upkeep::Changes{count_at(kMorning, 5),
                                                                             count_at(kMorning + 1h, 6),
                                                                             {kMorning + 2h, upkeep::Lost{}},
                                                                             {kMorning + 3h, upkeep::Heard{}},
                                                                             count_at(kMorning + week, 9),
                                                                             count_at(kMorning + week + 1h, 10)});
  CHECK(must(backend.store().history(other, WallTime{})) == upkeep::Changes{count_at(kMorning, 70)});
  CHECK(must(backend.store().history("nobody", WallTime{})).empty());
}

STORE_TEST("history is read from the week on in which somebody asks for it") {
  TestType backend;
  const auto week = 24h * 7;
  must(backend.store().write(
      with_history({{"a", {count_at(kMorning - week, 1), count_at(kMorning, 2), count_at(kMorning + week, 3)}}})));
  CHECK(must(backend.store().history("a", kMorning)) ==
        upkeep::Changes{count_at(kMorning, 2), count_at(kMorning + week, 3)});
  CHECK(must(backend.store().history("a", kMorning + 3 * week)).empty());
}

STORE_TEST("what is only restated in a week is kept once") {
  TestType backend;
  const upkeep::Change serial{kMorning, upkeep::SerialStated{"QL7731"}};
  must(backend.store().write(with_history({{"a", {serial}}})));
  must(backend.store().write(with_history({{"a", {{kMorning + 1h, upkeep::SerialStated{"QL7731"}}}}})));
  CHECK(must(backend.store().history("a", WallTime{})) == upkeep::Changes{serial});
}

STORE_TEST("a history source gives what is kept of a device, and a later week alone") {
  TestType backend;
  must(backend.store().write(with_history({{"a", {count_at(kMorning, 7), count_at(kMorning + 24h * 14, 9)}}})));
  const auto source = must(backend.store().history_source());
  CHECK(must(source->history("a", WallTime{})) ==
        upkeep::Changes{count_at(kMorning, 7), count_at(kMorning + 24h * 14, 9)});
  CHECK(must(source->history("a", kMorning + 24h * 14)) == upkeep::Changes{count_at(kMorning + 24h * 14, 9)});
  CHECK(must(source->history("nobody", WallTime{})).empty());
}

STORE_TEST("a history source gives the incidents of devices since then, and when they were over") {
  TestType backend;
  auto queue = incident("c", kMorning + 2h);
  queue.device.reset();
  auto critical = incident("b", kMorning + 1h);
  critical.severity = model::Severity::critical;
  critical.place = "Tray \"2\"";
  must(backend.store().write(
      of({raised(incident("a")), raised(critical), raised(queue), cleared(critical, kMorning + 3h),
          raised(incident("old", kMorning - 2h)), cleared(incident("old", kMorning - 2h), kMorning - 1ms),
          raised(incident("still", kMorning - 24h))})));
  const auto found = must(must(backend.store().history_source())->incidents_since(kMorning));
  REQUIRE(found.size() == 3);
  CHECK(found[2].from == kMorning - 24h);  // raised before, and still open
  CHECK_FALSE(found[2].to);
  CHECK(found[0].device == "herbarium-copier");
  CHECK(found[0].kind == "media-jam");
  CHECK_FALSE(found[0].down);
  CHECK(found[0].from == kMorning);
  CHECK_FALSE(found[0].to);
  CHECK(found[1].down);
  CHECK(found[1].to == kMorning + 3h);
  CHECK(found[1].place == "Tray \"2\"");
}

STORE_TEST("an incident raised long before and cleared since then is among those since then, up to the very instant") {
  TestType backend;
  const auto before = kMorning - 24h * 200;
  must(backend.store().write(
      of({cleared(incident("a", before), kMorning), cleared(incident("b", before), kMorning - 1ms)})));
  const auto found = must(must(backend.store().history_source())->incidents_since(kMorning));
  REQUIRE(found.size() == 1);
  CHECK(found[0].from == before);
  CHECK(found[0].to == kMorning);
}

upkeep::Complaint complaint(const std::string& id, WallTime at) {
  return {
      id, "herbarium-copier", "faded", at, "robin", "pale \"ferns\"", {{"supply-low", true}, {"repeats", false}}, "",
      {}};
}

STORE_TEST("what people told of upkeep is there after a restart, the latest word on a part and a complaint alone") {
  TestType backend;
  CHECK(must(backend.store().books()) == upkeep::Books{});
  Batch first;
  first.stock = {{"FT-100K", {3, 0}}, {"FT-100C", {1, 2}}, {"FT-100K", {2, 0}}};
  first.done = {{"herbarium-copier", "dust", kMorning + 1h, "robin", ""}};
  first.complaints = {complaint("c2", kMorning + 2h), complaint("c1", kMorning)};
  CHECK_FALSE(first.empty());
  CHECK(records_in(first) == 6);
  Batch second;
  second.done = {{"herbarium-copier", "dust", kMorning, "", "the day before"}};
  auto closed = complaint("c1", kMorning);
  closed.cause = "drum-worn";
  closed.closed_at = kMorning + 3h;
  second.complaints = {closed};
  second.stock = {{"FT-100C", {0, 2}}};
  must(backend.store().write(first));
  must(backend.store().write(second));
  backend.reopen();
  const auto books = must(backend.store().books());
  CHECK(books.stock == std::map<std::string, upkeep::Stock>{{"FT-100C", {0, 2}}, {"FT-100K", {2, 0}}});
  CHECK(books.done == std::vector{second.done[0], first.done[0]});
  CHECK(books.complaints == std::vector{closed, complaint("c2", kMorning + 2h)});
}

STORE_TEST("the instant until which the fleet was watched never goes back") {
  TestType backend;
  Batch batch;
  batch.watched_until = kMorning;
  CHECK_FALSE(batch.empty());
  must(backend.store().write(batch));
  batch.watched_until = kMorning - 1h;
  must(backend.store().write(batch));
  backend.reopen();
  CHECK(must(backend.store().watched_until()) == kMorning);
}

STORE_TEST("a week of history is thinned nine weeks later, and forgotten when all of it is too old") {
  TestType backend;
  upkeep::Changes hours;
  for (int quarter = 0; quarter <= 8; ++quarter)
    hours.push_back(count_at(kMorning + 15min * quarter, 100u + static_cast<std::uint32_t>(quarter)));
  must(backend.store().write(with_history({{"a", hours}, {"b", {count_at(kMorning, 1)}}})));
  const auto size = [&] { return must(backend.store().history("a", WallTime{})).size(); };
  const auto end = upkeep::start_of_week(upkeep::week_of(kMorning) + 1);
  must(backend.store().forget({}, end + upkeep::kThinnedAfter - 1ms));
  CHECK(size() == 9);
  must(backend.store().forget({}, end + upkeep::kThinnedAfter));
  CHECK(size() == 3);
  backend.reopen();
  must(backend.store().write(with_history({{"a", {count_at(kMorning + 125min, 109)}}})));
  CHECK(size() == 4);
  must(backend.store().forget({}, end + Retention{}.history - 1ms));
  CHECK(size() == 4);
  must(backend.store().forget({}, end + Retention{}.history));
  CHECK(size() == 0);
  CHECK(must(backend.store().history_devices()).empty());
}

STORE_TEST("the audit trail comes newest first, in parts, each record as it was and with a number") {
  TestType backend;
  auto refused = act("desk", kMorning + 1h);
  refused.outcome = AuditRecord::Outcome::refused;
  refused.reason = "the token desk has the right read; this needs operate";
  auto failed = act("unix:0", kMorning);  // the clock was set back
  failed.outcome = AuditRecord::Outcome::failed;
  failed.detail.clear();
  Batch batch;
  batch.audit = {act("loopback"), refused};
  must(backend.store().write(batch));
  batch.audit = {failed};
  must(backend.store().write(batch));
  backend.reopen();
  const auto all = must(backend.store().audit({}));
  REQUIRE(all.size() == 3);
  CHECK(all[0].number > all[1].number);
  CHECK(all[1].number > all[2].number);
  CHECK(all[2].number > 0);
  auto numbered = all;
  for (auto& record : numbered) record.number = 0;
  CHECK(numbered == std::vector{failed, refused, act("loopback")});

  CHECK(must(backend.store().audit({2, 0})) == std::vector{all[0], all[1]});
  CHECK(must(backend.store().audit({2, all[1].number})) == std::vector{all[2]});
  CHECK(must(backend.store().audit({2, all[2].number})).empty());
}

STORE_TEST("what a batch holds is there after a restart") {
  TestType backend;
  Batch batch = of({raised(incident("b")), raised(incident("a"))});
  batch.last_id = 77;
  batch.devices["herbarium-copier"].reach.missed = 3;
  must(backend.store().write(batch));
  backend.reopen();
  const auto memory = must(backend.store().memory());
  CHECK(memory.last_id == 77);
  CHECK(memory.incidents == std::vector{incident("a"), incident("b")});
  CHECK(memory.devices == batch.devices);
}

STORE_TEST("an incident is as its last transition left it") {
  TestType backend;
  must(backend.store().write(of({raised(incident("a")), cleared(incident("a"), kMorning + 1h)})));
  backend.reopen();
  CHECK(must(backend.store().memory()).incidents == std::vector{cleared(incident("a"), kMorning + 1h).incident});
}

STORE_TEST("a device's later memory takes the place of the earlier") {
  TestType backend;
  Batch batch;
  batch.devices["herbarium-copier"].reach.missed = 1;
  batch.devices["seed-bank-label-printer"].reach.missed = 5;
  must(backend.store().write(batch));
  Batch later;
  later.devices["herbarium-copier"].reach.missed = 2;
  must(backend.store().write(later));
  const auto devices = must(backend.store().memory()).devices;
  CHECK(devices.at("herbarium-copier").reach.missed == 2);
  CHECK(devices.at("seed-bank-label-printer").reach.missed == 5);
}

STORE_TEST("the last id never goes back") {
  TestType backend;
  Batch batch;
  batch.last_id = 9;
  must(backend.store().write(batch));
  batch.last_id = 4;
  must(backend.store().write(batch));
  CHECK(must(backend.store().memory()).last_id == 9);
}

STORE_TEST("the memory holds each raised incident and the newest of the cleared, in order of id") {
  TestType backend;
  Batch batch;
  const auto count = static_cast<int>(incidents::kClearedKept) + 2;
  for (int i = 0; i < count; ++i)
    batch.transitions.push_back(
        cleared(incident("c" + std::to_string(10000 + i)), kMorning + std::chrono::seconds(count - i)));
  batch.transitions.push_back(raised(incident("z", kMorning - 24h * 300)));
  must(backend.store().write(batch));
  const auto ids = ids_of(must(backend.store().memory()).incidents);
  REQUIRE(ids.size() == incidents::kClearedKept + 1);
  CHECK(std::ranges::is_sorted(ids));
  CHECK(ids.front() == "c10000");
  CHECK(ids[ids.size() - 2] ==
        "c" + std::to_string(10000 + count - 3));  // the two that were cleared first are left out
  CHECK(ids.back() == "z");
}

STORE_TEST("the outbox holds what is still to be told or to be seen, in order of number") {
  TestType backend;
  Batch batch = of({raised(incident("a")), cleared(incident("b"), kMorning)});
  batch.notices = {notice(9, "a"),
                   notice(3, "b", Notice::State::parked),
                   notice(4, "a", Notice::State::delivered),
                   notice(5, "b", Notice::State::delivered),
                   notice(6, "a", Notice::State::dropped),
                   notice(2, "", Notice::State::waiting)};
  must(backend.store().write(batch));
  backend.reopen();
  CHECK(must(backend.store().outbox()) ==
        std::vector{batch.notices[5], batch.notices[1], batch.notices[2], batch.notices[0]});
}

STORE_TEST("a notice that changed takes the place of what it was") {
  TestType backend;
  Batch batch;
  batch.notices = {notice(1, "a"), notice(2, "a")};
  must(backend.store().write(batch));
  batch.notices.erase(batch.notices.begin() + 1);
  batch.notices[0].attempts = 4;
  batch.notices[0].due += 1h;
  must(backend.store().write(batch));
  const auto outbox = must(backend.store().outbox());
  REQUIRE(outbox.size() == 2);
  CHECK(outbox[0] == batch.notices[0]);
}

STORE_TEST("the last notice's number outlives the notice") {
  TestType backend;
  Batch batch;
  batch.notices = {notice(41, "a", Notice::State::dropped), notice(12, "a")};
  must(backend.store().write(batch));
  must(backend.store().forget({}, kMorning + 24h * 100));
  backend.reopen();
  CHECK(ids_of(must(backend.store().outbox())) == std::vector<std::string>{"a-12"});
  CHECK(must(backend.store().last_notice_number()) == 41);
}

STORE_TEST("a device's replacements come in order of time, and the same one is kept once") {
  TestType backend;
  Batch batch;
  batch.replacements = {{"herbarium-copier", 1, "Black QX-701A", "black", kMorning + 1h, 2.5, 100.0, 120345},
                        {"herbarium-copier", 2, "Fuser", "", kMorning, std::nullopt, std::nullopt, std::nullopt},
                        {"seed-bank-label-printer", 1, "Ribbon", "", kMorning, 0.0, 1.0, 7}};
  must(backend.store().write(batch));
  must(backend.store().write(batch));
  backend.reopen();
  CHECK(must(backend.store().replacements("herbarium-copier")) ==
        std::vector{batch.replacements[1], batch.replacements[0]});
}

STORE_TEST("the raisings since an instant come in the order written, as they were then") {
  TestType backend;
  auto again = incident("a", kMorning + 2h);
  again.times_raised = 2;
  must(backend.store().write(of({raised(incident("b", kMorning - 1ms)), raised(incident("a")),
                                 cleared(incident("a"), kMorning + 1h), raised(again)})));
  backend.reopen();
  const auto found = must(backend.store().transitions_since(kMorning));
  REQUIRE(found.size() == 2);
  CHECK(found[0].at == kMorning);
  CHECK(found[0].what == What::raised);
  CHECK(found[0].incident.times_raised == 1);
  CHECK(found[0].incident.device == "herbarium-copier");
  CHECK(found[0].incident.evidence.empty());
  CHECK(found[0].incident.remedy == incidents::Remedy{});
  CHECK(found[1].at == kMorning + 2h);
  CHECK(found[1].incident.times_raised == 2);
}

STORE_TEST("readings come back whole and in order of time") {
  TestType backend;
  Batch batch;
  model::DeviceReading missed{"herbarium-copier", kMorning + 1min, model::Reach::wrong_key, "\"password\" <b>",
                              nullptr};
  batch.readings = {reading(kMorning + 2min, 120345), missed, reading(kMorning - 1ms, 3)};
  must(backend.store().write(batch));
  backend.reopen();
  const auto found = must(backend.store().readings_since(kMorning));
  REQUIRE(found.size() == 2);
  CHECK(found[0].device == "herbarium-copier");
  CHECK(found[0].reach == model::Reach::wrong_key);
  CHECK(found[0].detail == missed.detail);
  CHECK(found[0].snapshot == nullptr);
  CHECK(found[1].at == kMorning + 2min);
  REQUIRE(found[1].snapshot);
  CHECK(*found[1].snapshot == *batch.readings[0].snapshot);
}

STORE_TEST("forgetting takes what is over and older than its time, and nothing else") {
  TestType backend;
  const auto now = kMorning + 24h * 500;
  Batch batch = of({raised(incident("open")), cleared(incident("old"), now - 24h * 400 - 1ms),
                    cleared(incident("new"), now - 24h * 400)});
  batch.notices = {notice(1, "old", Notice::State::waiting), notice(2, "open", Notice::State::delivered),
                   notice(3, "old", Notice::State::delivered), notice(4, "old", Notice::State::parked),
                   notice(5, "new", Notice::State::parked, now - 24h * 30)};
  batch.readings = {reading(now - 24h * 2 - 1ms, 1), reading(now - 24h * 2, 2)};
  batch.audit = {act("old", now - 24h * 400 - 1ms), act("new", now - 24h * 400)};
  batch.replacements = {{"herbarium-copier", 1, "", "", kMorning, {}, {}, {}}};
  batch.devices["herbarium-copier"].reach.missed = 1;
  must(backend.store().write(batch));
  must(backend.store().forget({}, now));
  backend.reopen();
  CHECK(ids_of(must(backend.store().memory()).incidents) == std::vector<std::string>{"new", "open"});
  CHECK(ids_of(must(backend.store().outbox())) == std::vector<std::string>{"old-1", "open-2", "new-5"});
  CHECK(must(backend.store().readings_since(WallTime{})).size() == 1);
  REQUIRE(must(backend.store().audit({})).size() == 1);
  CHECK(must(backend.store().audit({}))[0].who == "new");
  CHECK(must(backend.store().transitions_since(WallTime{})).size() == 1);
  CHECK(must(backend.store().replacements("herbarium-copier")).size() == 1);
  CHECK(must(backend.store().memory()).devices.size() == 1);
}

STORE_TEST("texts of any kind come back as they were") {
  TestType backend;
  const std::string hostile("'; DROP TABLE incidents; -- \"\\ \n\0 \xF0\x9F\x8C\xB1 <b>", 40);
  auto odd = incident("a");
  odd.summary = hostile;
  odd.device = hostile;
  Batch batch = of({raised(odd)});
  batch.devices[hostile].reach.detail = hostile;
  batch.notices = {notice(1, "a")};
  batch.notices[0].body = hostile;
  batch.replacements = {{hostile, 1, hostile, hostile, kMorning, {}, {}, {}}};
  batch.audit = {{1, kMorning, hostile, hostile, hostile, hostile, hostile, AuditRecord::Outcome::done, hostile}};
  must(backend.store().write(batch));
  backend.reopen();
  CHECK(must(backend.store().memory()).incidents == std::vector{odd});
  CHECK(must(backend.store().memory()).devices == batch.devices);
  CHECK(must(backend.store().outbox()) == batch.notices);
  CHECK(must(backend.store().audit({})) == batch.audit);
  CHECK(must(backend.store().replacements(hostile)) == batch.replacements);
}

STORE_TEST("writing appended batches at once is writing them one by one") {
  TestType together;
  TestType apart;
  Batch first = of({raised(incident("a")), raised(incident("b"))});
  first.devices["herbarium-copier"].reach.missed = 1;
  first.notices = {notice(1, "a")};
  first.last_id = 5;
  Batch second = of({cleared(incident("a"), kMorning + 1h)});
  second.devices["herbarium-copier"].reach.missed = 2;
  second.notices = {notice(1, "a", Notice::State::delivered), notice(2, "a")};
  second.readings = {reading(kMorning, 1)};
  first.audit = {act("desk")};
  second.audit = {act("it")};
  second.last_id = 3;
  must(apart.store().write(first));
  must(apart.store().write(second));
  append(first, second);
  must(together.store().write(first));
  CHECK(must(together.store().memory()) == must(apart.store().memory()));
  CHECK(must(together.store().memory()).devices.at("herbarium-copier").reach.missed == 2);
  CHECK(must(together.store().outbox()) == must(apart.store().outbox()));
  CHECK(must(together.store().audit({})) == must(apart.store().audit({})));
  CHECK(must(together.store().readings_since(kMorning)).size() == 1);
}

}  // namespace
}  // namespace frisket::store::testing
