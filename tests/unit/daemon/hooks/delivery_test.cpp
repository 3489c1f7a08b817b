// How notices are tried, in simulated time, against a receiver that does what the test says.
#include "daemon/hooks/delivery.h"

#include <deque>

#include "fixture.h"

namespace frisket::hooks {
namespace {

using namespace std::chrono_literals;
using Verdict = Reply::Verdict;

Reply saying(Verdict verdict) {
  Reply reply;
  reply.verdict = verdict;
  return reply;
}

class Scripted final : public Transport {
 public:
  struct Attempt {
    std::string hook;
    std::vector<std::string> ids;
    model::WallTime at;
  };

  explicit Scripted(boost::asio::io_context& context) : context_(context) {}

  void send(const Message& message, Done done) override {
    Attempt attempt{message.hook->name, {}, message.now};
    for (const auto& notice : message.notices) attempt.ids.push_back(notice.id);
    attempts.push_back(attempt);
    if (hanging == message.hook->name) return kept.push_back(std::move(done));
    const auto reply = script.empty() ? answer : script.front();
    if (!script.empty()) script.pop_front();
    boost::asio::post(context_, [done = std::move(done), reply] { done(reply); });
  }
  void stop() override {}

  std::vector<std::string> told() const {
    std::vector<std::string> list;
    for (const auto& attempt : attempts)
      for (const auto& id : attempt.ids) list.push_back(id);
    return list;
  }
  // Seconds from each attempt to the next, rounded.
  std::vector<long> pauses() const {
    std::vector<long> list;
    for (std::size_t i = 1; i < attempts.size(); ++i)
      list.push_back(std::chrono::round<std::chrono::seconds>(attempts[i].at - attempts[i - 1].at).count());
    return list;
  }

  std::vector<Attempt> attempts;
  std::deque<Reply> script;  // then `answer` for ever
  Reply answer = saying(Verdict::delivered);
  std::string hanging;  // a hook whose receiver never answers
  std::vector<Done> kept;

 private:
  boost::asio::io_context& context_;
};

struct Post {
  boost::asio::io_context context;
  testing::SimulatedClock clock{context};
  std::shared_ptr<Scripted> receiver = std::make_shared<Scripted>(context);
  std::vector<Notice> settled;
  Delivery delivery{
      context.get_executor(), clock, {{config::Hook::Type::exec, receiver}}, 7, [this](const Notice& notice) {
        settled.push_back(notice);
      }};
  std::vector<config::Hook> hooks;
  std::uint64_t number = 0;
  spdlog::level::level_enum level_before = spdlog::default_logger()->level();

  Post() {
    spdlog::default_logger()->set_level(spdlog::level::off);
    hook("desk");
  }
  ~Post() {
    delivery.stop();
    spdlog::default_logger()->set_level(level_before);
  }
  Post(const Post&) = delete;
  Post& operator=(const Post&) = delete;

  config::Hook& hook(const std::string& name) {
    auto& made = hooks.emplace_back();
    made.name = name;
    delivery.configure(hooks);
    return made;
  }
  std::string give(const std::string& incident, const std::string& hook = "desk", model::Milliseconds wait = {}) {
    Notice notice;
    notice.number = ++number;
    notice.id = notice_id(incident, notice.number, hook);
    notice.hook = hook;
    notice.incident = incident;
    notice.at = clock.wall_now();
    notice.due = clock.wall_now() + wait;
    notice.body = "{}";
    delivery.take({notice});
    return notice.id;
  }
};

using Texts = std::vector<std::string>;

TEST_CASE("what a receiver missed in an hour arrives when it is back, each incident's in order") {
  Post post;
  post.receiver->answer = saying(Verdict::unreachable);
  for (const auto* incident : {"a", "b", "a", "a", "b"}) post.give(incident);
  post.clock.advance(1h);
  CHECK(post.settled.empty());
  CHECK(post.delivery.counters().waiting == 5);
  post.receiver->answer = saying(Verdict::delivered);
  post.receiver->attempts.clear();
  post.clock.advance(Delivery::kLongestPause * 5 / 4);
  Texts of_a, of_b;
  for (const auto& id : post.receiver->told()) (id.starts_with("a") ? of_a : of_b).push_back(id);
  CHECK(of_a == Texts{"a-1-desk", "a-3-desk", "a-4-desk"});
  CHECK(of_b == Texts{"b-2-desk", "b-5-desk"});
  CHECK(post.settled.size() == 5);
  CHECK(std::ranges::all_of(post.settled, [](const Notice& it) { return it.state == Notice::State::delivered; }));
  // All within one turn once the first was taken: nobody waits for a pause of his own.
  CHECK(post.receiver->attempts.back().at - post.receiver->attempts.front().at < 1s);
}

TEST_CASE("pauses double from a second to ten minutes, give or take a fifth") {
  Post post;
  post.receiver->answer = saying(Verdict::try_again);
  post.give("a");
  post.clock.advance(2h);
  const auto pauses = post.receiver->pauses();
  REQUIRE(pauses.size() > 12);
  long wanted = 1;
  for (const auto pause : pauses) {
    CHECK(pause >= wanted * 4 / 5);
    CHECK(pause <= wanted * 6 / 5 + 1);
    wanted = std::min(600L, wanted * 2);
  }
}

TEST_CASE("a receiver's wish to wait is kept, but not for more than an hour") {
  Post post;
  auto busy = saying(Verdict::try_again);
  busy.retry_after = 90s;
  auto asleep = saying(Verdict::try_again);
  asleep.retry_after = 30h;
  post.receiver->script = {busy, asleep};
  post.give("a");
  post.clock.advance(3h);
  CHECK(post.receiver->pauses() == std::vector<long>{90, 3600});
}

TEST_CASE("what is refused three times is parked, and the next of the incident goes on") {
  Post post;
  post.receiver->script.assign(3, saying(Verdict::refused));
  const auto first = post.give("a");
  const auto second = post.give("a");
  post.clock.advance(1min);
  CHECK(post.receiver->told() == Texts{first, first, first, second});
  REQUIRE(post.settled.size() == 2);
  CHECK(post.settled[0].state == Notice::State::parked);
  CHECK(post.settled[0].attempts == 3);
  CHECK(post.settled[1].state == Notice::State::delivered);
  CHECK(post.delivery.each().at("desk").parked == 1);
  CHECK(post.delivery.each().at("desk").told == 1);
  CHECK(post.delivery.each().at("desk").failed == 3);
}

TEST_CASE("what cannot be delivered is parked after give_up_after and not before") {
  Post post;
  post.hooks.front().give_up_after = 2h;
  post.delivery.configure(post.hooks);
  post.receiver->answer = saying(Verdict::unreachable);
  post.give("a");
  post.clock.advance(119min);
  CHECK(post.settled.empty());
  post.clock.advance(13min);  // the longest pause and a fifth
  REQUIRE(post.settled.size() == 1);
  CHECK(post.settled[0].state == Notice::State::parked);
  CHECK(post.delivery.counters().waiting == 0);
}

TEST_CASE("a receiver that never answers holds up its incident, and nobody else") {
  Post post;
  post.hook("stuck");
  post.receiver->hanging = "stuck";
  post.give("a", "stuck");
  post.give("a", "stuck");
  post.give("b", "stuck");
  post.give("a", "desk");
  post.clock.advance(1h);
  CHECK(post.receiver->told() == Texts{"a-4-desk", "a-1-stuck", "b-3-stuck"});
  CHECK(post.settled.size() == 1);
}

TEST_CASE("a notice is not tried before it is due") {
  Post post;
  post.give("a", "desk", 10min);
  post.clock.advance(10min - 1s);
  CHECK(post.receiver->attempts.empty());
  post.clock.advance(1s);
  CHECK(post.receiver->attempts.size() == 1);
}

TEST_CASE("a digest goes as one message with all that is due, and again as one") {
  Post post;
  post.hooks.front().digest = 5min;
  post.delivery.configure(post.hooks);
  post.receiver->script = {saying(Verdict::try_again)};
  for (const auto* incident : {"a", "b", "a"}) post.give(incident, "desk", 5min);
  post.clock.advance(10min);
  REQUIRE(post.receiver->attempts.size() == 2);
  const Texts all = {"a-1-desk", "b-2-desk", "a-3-desk"};
  CHECK(post.receiver->attempts[0].ids == all);
  CHECK(post.receiver->attempts[1].ids == all);
  CHECK(post.settled.size() == 3);
}

TEST_CASE("a test goes at once, past what waits, and settles nothing") {
  Post post;
  post.receiver->hanging = "desk";
  post.give("a");
  post.clock.settle();
  post.receiver->hanging.clear();
  Notice test;
  test.hook = "desk";
  test.id = "test-9-desk";
  int answers = 0;
  post.delivery.send_now(test, [&](const Reply& reply) { answers += reply.verdict == Verdict::delivered ? 1 : 0; });
  post.clock.settle();
  CHECK(answers == 1);
  CHECK(post.receiver->told() == Texts{"a-1-desk", "test-9-desk"});
  CHECK(post.settled.empty());
}

}  // namespace
}  // namespace frisket::hooks
