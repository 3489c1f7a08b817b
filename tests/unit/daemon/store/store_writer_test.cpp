// The writer against a store that fails and hangs when it is told to. Threads are real, time is not.
#include "daemon/store/store_writer.h"

#include <boost/asio/io_context.hpp>
#include <condition_variable>
#include <mutex>
#include <thread>

#include "daemon/store/memory_store.h"
#include "fixtures.h"

namespace frisket::store::testing {
namespace {

using model::Done;
using model::Error;
using model::Result;
using model::SteadyTime;

// What the test and the writer's thread share.
struct Script {
  std::mutex mutex;
  std::condition_variable changed;
  bool full = false;                              // every write fails
  bool hanging = false;                           // every write waits
  int in_write = 0;                               // now
  bool task_held = false;                         // hold() waits
  int failures = 0;                               // writes that found no room
  std::string senseless;                          // a batch with this incident is refused for good
  std::vector<std::vector<std::string>> commits;  // incidents in each

  void set(bool Script::*flag, bool value) {
    const std::lock_guard lock(mutex);
    this->*flag = value;
    changed.notify_all();
  }
  void wait_until_in_write() {
    std::unique_lock lock(mutex);
    changed.wait(lock, [&] { return in_write > 0; });
  }
  void wait_for_failures(int count) {
    std::unique_lock lock(mutex);
    changed.wait(lock, [&] { return failures >= count; });
  }
  // A task that takes long.
  Result<Done> hold() {
    std::unique_lock lock(mutex);
    changed.wait(lock, [&] { return !task_held; });
    return Done{};
  }
};

class ScriptedStore final : public Store {
 public:
  explicit ScriptedStore(Script& script) : script_(script) {}

  Result<Done> write(const Batch& batch) override {
    std::unique_lock lock(script_.mutex);
    ++script_.in_write;
    script_.changed.notify_all();
    script_.changed.wait(lock, [&] { return !script_.hanging; });
    --script_.in_write;
    if (script_.full) {
      ++script_.failures;
      script_.changed.notify_all();
      return Error{Error::Kind::local, "writing to the store", "", "no room"};
    }
    std::vector<std::string> ids;
    for (const auto& transition : batch.transitions) ids.push_back(transition.incident.id);
    for (const auto& id : ids)
      if (id == script_.senseless) return Error{Error::Kind::invalid, "writing to the store", "", "senseless"};
    script_.commits.push_back(ids);
    return inner_.write(batch);
  }
  Result<incidents::CorrelatorMemory> memory() override { return inner_.memory(); }
  Result<std::vector<Notice>> outbox() override { return inner_.outbox(); }
  Result<std::uint64_t> last_notice_number() override { return inner_.last_notice_number(); }
  Result<std::vector<incidents::Replacement>> replacements(const std::string& device) override {
    return inner_.replacements(device);
  }
  Result<std::vector<Transition>> transitions_since(WallTime since) override { return inner_.transitions_since(since); }
  Result<std::vector<model::DeviceReading>> readings_since(WallTime since) override {
    return inner_.readings_since(since);
  }
  Result<std::vector<AuditRecord>> audit(const model::AuditWindow& window) override { return inner_.audit(window); }
  Result<std::vector<std::string>> history_devices() override { return inner_.history_devices(); }
  Result<upkeep::Changes> history(const std::string& device, WallTime since) override {
    return inner_.history(device, since);
  }
  Result<std::unique_ptr<HistorySource>> history_source() override { return inner_.history_source(); }
  Result<upkeep::Books> books() override { return inner_.books(); }
  Result<std::optional<WallTime>> watched_until() override { return inner_.watched_until(); }
  Result<Done> forget(const Retention& retention, WallTime now) override { return inner_.forget(retention, now); }
  Result<Done> back_up(const std::filesystem::path& to) override { return inner_.back_up(to); }
  std::vector<std::string> take_findings() override { return {}; }

 private:
  Script& script_;
  MemoryStore inner_;
};

struct Writing {
  Script script;
  boost::asio::io_context context;
  SteadyTime now{};
  StoreWriter writer;
  std::vector<std::string> told;  // "a kept", "b not kept"

  explicit Writing(StoreWriter::Bounds bounds = {})
      : writer(std::make_unique<ScriptedStore>(script), context.get_executor(), bounds) {}
  // A thread that hangs would outlive the script.
  ~Writing() {
    script.set(&Script::hanging, false);
    script.set(&Script::task_held, false);
  }

  void write(const std::string& id) {
    writer.write(of({raised(incident(id))}), now,
                 [this, id](const Result<Done>& result) { told.push_back(id + (result ? " kept" : " not kept")); });
  }
  void run_held_task() {
    script.set(&Script::task_held, true);
    writer.run([this](Store&) { return script.hold(); }, [this](const Result<Done>&) { told.push_back("task done"); });
  }
  // The guard is for a machine that is very busy; nothing waits for it to pass.
  bool until_told(std::size_t count) {
    const auto guard = std::chrono::steady_clock::now() + 60s;
    while (told.size() < count && std::chrono::steady_clock::now() < guard) {
      context.restart();
      context.run_for(2ms);
    }
    return told.size() == count;
  }
  // Lets all that is under way come back.
  void settle() {
    const auto guard = std::chrono::steady_clock::now() + 60s;
    while (writer.state().under_way > 0 && std::chrono::steady_clock::now() < guard) {
      context.restart();
      context.run_for(2ms);
    }
    context.restart();
    context.poll();
  }
  void advance(std::chrono::seconds span) {
    now += span;
    writer.tick(now);
    settle();
  }
  std::vector<std::string> written() {
    const std::lock_guard lock(script.mutex);
    std::vector<std::string> all;
    for (const auto& commit : script.commits) all.insert(all.end(), commit.begin(), commit.end());
    return all;
  }
};

using Words = std::vector<std::string>;

}  // namespace

TEST_CASE("batches are written in order, and each is told of when it is kept") {
  Writing writing;
  for (const auto* id : {"a", "b", "c"}) writing.write(id);
  CHECK(writing.told.empty());  // never from inside write()
  REQUIRE(writing.until_told(3));
  CHECK(writing.told == Words{"a kept", "b kept", "c kept"});
  CHECK(writing.written() == Words{"a", "b", "c"});
  CHECK(writing.writer.state().trouble.empty());
  CHECK(writing.writer.state().written == 3);
}

TEST_CASE("what waits while a commit is under way shares the next one") {
  Writing writing;
  writing.script.set(&Script::hanging, true);
  writing.write("a");
  writing.script.wait_until_in_write();
  for (const auto* id : {"b", "c", "d"}) writing.write(id);
  writing.script.set(&Script::hanging, false);
  REQUIRE(writing.until_told(4));
  CHECK(writing.script.commits == std::vector<Words>{{"a"}, {"b", "c", "d"}});
  CHECK(writing.told == Words{"a kept", "b kept", "c kept", "d kept"});
}

TEST_CASE("while there is no room everybody is told at once, and all is written in order when there is") {
  Writing writing;
  writing.script.set(&Script::full, true);
  writing.write("a");
  REQUIRE(writing.until_told(1));
  CHECK(writing.writer.state().trouble.find("no room") != std::string::npos);
  writing.write("b");
  writing.write("c");
  REQUIRE(writing.until_told(3));
  CHECK(writing.told == Words{"a not kept", "b not kept", "c not kept"});
  CHECK(writing.writer.state().kept_back == 3);
  writing.advance(1s);
  writing.advance(1s);
  CHECK(writing.written().empty());
  writing.script.set(&Script::full, false);
  writing.advance(60s);
  CHECK(writing.written() == Words{"a", "b", "c"});
  writing.advance(1s);
  CHECK(writing.writer.state().trouble.empty());
  CHECK(writing.writer.state().kept_back == 0);
  writing.write("d");
  REQUIRE(writing.until_told(4));
  CHECK(writing.told.back() == "d kept");
  CHECK(writing.writer.state().lost == 0);
}

TEST_CASE("pauses between tries double up to the longest") {
  Writing writing({.first_pause = 1s, .longest_pause = 8s});
  writing.script.set(&Script::full, true);
  writing.write("a");
  REQUIRE(writing.until_told(1));
  std::vector<int> waited;
  int since = 0;
  auto commits = writing.writer.state().commits;
  for (int second = 0; second < 40; ++second) {
    ++since;
    writing.advance(1s);
    if (writing.writer.state().commits == commits) continue;
    commits = writing.writer.state().commits;
    waited.push_back(since);
    since = 0;
  }
  CHECK(waited == std::vector<int>{1, 2, 4, 8, 8, 8, 8});
}

TEST_CASE("what comes while a try is under way keeps its place behind it") {
  Writing writing;
  writing.script.set(&Script::full, true);
  writing.write("a");
  REQUIRE(writing.until_told(1));
  writing.script.set(&Script::full, false);
  writing.script.set(&Script::hanging, true);
  writing.now += 2s;
  writing.writer.tick(writing.now);
  writing.script.wait_until_in_write();
  writing.write("b");
  writing.write("c");
  REQUIRE(writing.until_told(3));
  writing.script.set(&Script::hanging, false);
  writing.settle();
  writing.advance(1s);
  CHECK(writing.written() == Words{"a", "b", "c"});
  CHECK(writing.writer.state().trouble.empty());
}

TEST_CASE("what was sent before the trouble was known keeps its place before what came later") {
  Writing writing;
  writing.script.set(&Script::full, true);
  writing.script.set(&Script::hanging, true);
  writing.write("a");
  writing.script.wait_until_in_write();
  writing.run_held_task();
  writing.write("b");
  writing.script.set(&Script::hanging, false);
  REQUIRE(writing.until_told(1));
  writing.write("c");  // b is still behind the task
  REQUIRE(writing.until_told(3));
  CHECK(writing.told == Words{"a not kept", "b not kept", "c not kept"});
  writing.script.set(&Script::full, false);
  writing.now += 60s;
  writing.writer.tick(writing.now);  // nor may it be tried again before b is back
  writing.script.set(&Script::task_held, false);
  writing.settle();
  writing.advance(60s);
  CHECK(writing.written() == Words{"a", "b", "c"});
  CHECK(writing.writer.state().trouble.empty());
}

TEST_CASE("a batch before a long task is told of before the task is done") {
  Writing writing;
  writing.script.set(&Script::hanging, true);
  writing.write("a");
  writing.script.wait_until_in_write();
  writing.write("b");
  writing.run_held_task();
  writing.script.set(&Script::hanging, false);
  REQUIRE(writing.until_told(2));
  CHECK(writing.told == Words{"a kept", "b kept"});
  writing.script.set(&Script::task_held, false);
  REQUIRE(writing.until_told(3));
}

TEST_CASE("nobody waits for a task that takes too long") {
  Writing writing({.patience = 5s});
  writing.run_held_task();
  writing.write("a");
  writing.now += 5s;
  writing.writer.tick(writing.now);
  REQUIRE(writing.until_told(1));
  CHECK(writing.told == Words{"a not kept"});
  writing.script.set(&Script::task_held, false);
  writing.settle();
  CHECK(writing.written() == Words{"a"});
  CHECK(writing.told == Words{"a not kept", "task done"});
}

TEST_CASE("nobody waits for a disk that hangs, and what it had is written when it goes on") {
  Writing writing({.patience = 5s});
  writing.script.set(&Script::hanging, true);
  writing.write("a");
  writing.script.wait_until_in_write();
  writing.now += 4s;
  writing.writer.tick(writing.now);
  writing.write("b");
  CHECK(writing.writer.state().trouble.empty());
  writing.now += 1s;
  writing.write("c");
  CHECK(writing.writer.state().trouble.find("has not answered") != std::string::npos);
  REQUIRE(writing.until_told(3));
  CHECK(writing.told == Words{"a not kept", "b not kept", "c not kept"});
  writing.script.set(&Script::hanging, false);
  writing.settle();
  CHECK(writing.written() == Words{"a", "b", "c"});
  CHECK(writing.told.size() == 3);  // nobody is told twice
  CHECK(writing.writer.state().trouble.empty());
}

TEST_CASE("a batch that makes no sense does not hold up the others, nor the rest of itself") {
  Writing writing;
  writing.script.senseless = "bad";
  writing.script.set(&Script::hanging, true);
  writing.write("a");
  writing.script.wait_until_in_write();
  writing.write("b");
  writing.writer.write(
      of({raised(incident("c")), raised(incident("bad")), raised(incident("d"))}), writing.now,
      [&](const Result<Done>& result) { writing.told.push_back(result ? "three kept" : "three not"); });
  writing.write("e");
  writing.script.set(&Script::hanging, false);
  REQUIRE(writing.until_told(4));
  CHECK(writing.told == Words{"a kept", "b kept", "three not", "e kept"});
  CHECK(writing.written() == Words{"a", "b", "c", "d", "e"});
  CHECK(writing.writer.state().lost == 1);
  CHECK(writing.writer.state().trouble.empty());
}

TEST_CASE("what is kept back is bounded, and what goes beyond is counted") {
  Writing writing({.kept_back = 3});
  writing.script.set(&Script::full, true);
  for (const auto* id : {"a", "b", "c", "d", "e"}) writing.write(id);
  REQUIRE(writing.until_told(5));
  CHECK(writing.writer.state().kept_back == 3);
  CHECK(writing.writer.state().lost == 2);
  writing.script.set(&Script::full, false);
  writing.advance(60s);
  CHECK(writing.written() == Words{"c", "d", "e"});
}

TEST_CASE("audit records wait like the rest while there is no room, in a bound of their own") {
  Writing writing({.kept_back = 3});
  writing.script.set(&Script::full, true);
  for (const auto* who : {"a", "b", "c", "d"}) {
    Batch batch;
    batch.audit = {act(who)};
    writing.writer.write(std::move(batch), writing.now,
                         [&](const Result<Done>&) { writing.told.emplace_back("heard"); });
  }
  REQUIRE(writing.until_told(4));
  CHECK(writing.writer.state().kept_back == 3);
  CHECK(writing.writer.state().lost == 1);
  writing.script.set(&Script::full, false);
  writing.advance(60s);
  std::vector<std::string> kept;
  writing.writer.run(
      [&](Store& store) {
        for (const auto& record : must(store.audit({}))) kept.push_back(record.who);
        return Result<Done>(Done{});
      },
      {});
  writing.settle();
  CHECK(kept == Words{"d", "c", "b"});
}

TEST_CASE("stopping writes what is under way and tries what was kept back once more") {
  Writing writing;
  writing.script.set(&Script::full, true);
  writing.write("a");
  REQUIRE(writing.until_told(1));
  writing.script.set(&Script::full, false);
  writing.write("b");
  writing.writer.stop();
  CHECK(writing.written() == Words{"a", "b"});
  writing.write("c");  // is not taken any more
  CHECK(writing.written() == Words{"a", "b"});
}

TEST_CASE("stopping loses nothing of what failed and has not been looked at") {
  Writing writing;
  writing.script.set(&Script::full, true);
  writing.write("a");
  writing.script.wait_for_failures(1);
  writing.write("b");
  writing.script.set(&Script::full, false);
  writing.writer.stop();
  CHECK(writing.written() == Words{"a", "b"});
}

TEST_CASE("nobody is told of anything after stopping") {
  Writing writing;
  writing.script.set(&Script::full, true);
  writing.write("a");
  REQUIRE(writing.until_told(1));
  writing.write("b");  // would be told at once
  writing.writer.stop();
  writing.context.restart();
  writing.context.run();
  CHECK(writing.told == Words{"a not kept"});
}

TEST_CASE("stopping does not wait for a disk that hangs") {
  Writing writing({.stop_wait = 0s});
  writing.script.set(&Script::hanging, true);
  writing.write("a");
  writing.script.wait_until_in_write();
  writing.writer.stop();
  CHECK(writing.told.empty());
  // Its thread is left behind; let it go before what it uses goes.
  writing.script.set(&Script::hanging, false);
  const auto guard = std::chrono::steady_clock::now() + 60s;
  while (writing.written().empty() && std::chrono::steady_clock::now() < guard) std::this_thread::yield();
  CHECK(writing.written() == Words{"a"});
}

TEST_CASE("a task takes its turn among the batches, and what it says comes back") {
  Writing writing;
  writing.write("a");
  std::size_t seen = 0;
  writing.writer.run(
      [&](Store& store) -> Result<Done> {
        seen = must(store.memory()).incidents.size();
        return Error{Error::Kind::local, "copying", "", "no room"};
      },
      [&](const Result<Done>& result) { writing.told.push_back(result ? "copied" : result.error().what); });
  writing.write("b");
  REQUIRE(writing.until_told(3));
  CHECK(writing.told == Words{"a kept", "no room", "b kept"});
  CHECK(seen == 1);
  CHECK(writing.writer.state().trouble.empty());
}

}  // namespace frisket::store::testing
