#include "daemon/client/arguments.h"

#include <catch2/catch.hpp>
#include <cstdlib>

namespace frisket::client {
namespace {

Arguments read(std::vector<const char*> words) {
  words.insert(words.begin(), "frisket");
  return read_arguments(static_cast<int>(words.size()), words.data());
}

}  // namespace

TEST_CASE("each verb is read with its options") {
  CHECK(read({"status"}).request->verb == Verb::status);
  CHECK(read({"status", "--fail-on", "major", "--site", "glasshouse"}).request->fail_on == model::Severity::major);
  CHECK(read({"devices", "--state", "silent"}).request->state == "silent");
  CHECK(read({"device", "palm"}).request->subject == "palm");
  CHECK(read({"supplies", "--low"}).request->low);
  CHECK(read({"incidents", "--all"}).request->all);
  CHECK(read({"incidents", "--severity", "minor"}).request->severity == model::Severity::minor);
  CHECK(read({"incidents", "--kind", "media-jam", "--device", "palm"}).request->kind == "media-jam");
  CHECK(read({"incident", "17"}).request->subject == "17");
  CHECK(read({"watch"}).request->verb == Verb::watch);
  CHECK(read({"ack", "17", "--note", "on my way"}).request->note == "on my way");
  CHECK(read({"shelve", "17", "--for", "8h"}).request->duration == "8h");
  CHECK(read({"shelve", "17", "--until", "2026-11-26T17:00:00Z"}).request->until == "2026-11-26T17:00:00Z");
  CHECK(read({"close", "17", "--by", "robin"}).request->by == "robin");
  CHECK(read({"take-back", "17"}).request->subject == "17");
}

TEST_CASE("every verb takes --json and --server") {
  for (const VerbWords& verb : verbs()) {
    std::vector<const char*> words = {verb.name, "--json", "--server", "http://127.0.0.1:1"};
    const bool of_all = verb.verb == Verb::status || verb.verb == Verb::devices || verb.verb == Verb::supplies ||
                        verb.verb == Verb::queues || verb.verb == Verb::incidents || verb.verb == Verb::watch ||
                        verb.verb == Verb::order || verb.verb == Verb::stock || verb.verb == Verb::round ||
                        verb.verb == Verb::upkeep || verb.verb == Verb::meter || verb.verb == Verb::reliability;
    if (!of_all) words.push_back("x");
    const auto arguments = read(words);
    INFO(verb.name << arguments.err);
    REQUIRE(arguments.request);
    CHECK(arguments.request->verb == verb.verb);
    CHECK(arguments.request->json);
    CHECK(arguments.request->server == "http://127.0.0.1:1");
  }
}

TEST_CASE("bad usage ends with 2 and a sentence on standard error") {
  for (const std::vector<const char*>& words : std::vector<std::vector<const char*>>{{},
                                                                                     {"bogus"},
                                                                                     {"--json"},
                                                                                     {"status", "extra"},
                                                                                     {"status", "--fail-on", "dire"},
                                                                                     {"status", "--fail-on"},
                                                                                     {"devices", "--state", "broken"},
                                                                                     {"devices", "--site", ""},
                                                                                     {"device"},
                                                                                     {"device", ""},
                                                                                     {"device", "a", "b"},
                                                                                     {"incident"},
                                                                                     {"supplies", "--high"},
                                                                                     {"status", "--server", ""}}) {
    const auto arguments = read(words);
    CHECK_FALSE(arguments.request);
    CHECK(arguments.status == ExitStatus::usage);
    CHECK_FALSE(arguments.err.empty());
    CHECK(arguments.out.empty());
  }
}

TEST_CASE("an act on a queue is read with what it is about") {
  const auto request = [](std::vector<const char*> words) {
    words.insert(words.begin(), {"queue", "herbarium"});
    const auto arguments = read(words);
    INFO(arguments.err);
    REQUIRE(arguments.request);
    CHECK(arguments.request->subject == "herbarium");
    return *arguments.request;
  };
  CHECK(request({}).act.empty());
  CHECK(request({"jobs"}).act == "jobs");
  CHECK(request({"pause", "--note", "fuser"}).note == "fuser");
  CHECK(request({"resume", "--by", "robin"}).by == "robin");
  CHECK(request({"cancel", "--head"}).head);
  CHECK(request({"cancel", "--job", "412"}).job == 412);
  CHECK(request({"cancel", "--waiting", "--yes"}).yes);
  CHECK(request({"cancel", "--waiting", "--dry-run"}).dry_run);
  CHECK(request({"move", "--to", "library"}).to == "library");
  CHECK(request({"restart"}).act == "restart");
  // A queue may be called as an act is.
  CHECK(read({"queue", "jobs", "jobs"}).request->subject == "jobs");
  CHECK(read({"queues", "--state", "stopped", "--spooler", "office"}).request->spooler == "office");
}

TEST_CASE("an act on a queue that makes no sense is refused before anything is asked") {
  struct Row {
    std::vector<const char*> words;
    const char* says;
  };
  const char* const one_of = "cancel takes exactly one of --head, --job N and --waiting";
  const char* const of_cancel = "--head, --job and --waiting belong to cancel";
  const char* const of_acts = "--dry-run, --yes, --by and --note belong to acts that change something";
  for (const Row& row :
       {Row{{"cancel"}, one_of}, Row{{"cancel", "--head", "--waiting"}, one_of},
        Row{{"cancel", "--job", "3", "--head"}, one_of}, Row{{"cancel", "--job", "0"}, "--job"},
        Row{{"cancel", "--job", "2147483648"}, "--job"}, Row{{"cancel", "--job", "all"}, "--job"},
        Row{{"pause", "--waiting"}, of_cancel}, Row{{"jobs", "--head"}, of_cancel},
        Row{{"move"}, "move needs --to OTHER"}, Row{{"pause", "--to", "library"}, "--to belongs to move"},
        Row{{"jobs", "--dry-run"}, of_acts}, Row{{"--yes"}, of_acts}, Row{{"--note", "x"}, of_acts},
        Row{{"purge"}, "purge"}, Row{{"pause", "resume"}, "resume"}}) {
    auto words = row.words;
    words.insert(words.begin(), {"queue", "herbarium"});
    const auto arguments = read(words);
    INFO(arguments.err);
    CHECK_FALSE(arguments.request);
    CHECK(arguments.status == ExitStatus::usage);
    CHECK(arguments.err.find(row.says) != std::string::npos);
  }
}

TEST_CASE("the words of stock, upkeep and complain are sorted into what they mean") {
  CHECK(read({"stock", "receive", "FW-T42", "3"}).request->count == 3);
  CHECK(read({"stock", "set", "FW-T42", "0", "--on-order", "2"}).request->on_order == 2);
  CHECK(read({"upkeep", "done", "palm", "filter"}).request->subject == "palm:filter");
  CHECK(read({"upkeep", "done", "palm:filter"}).request->subject == "palm:filter");
  const auto outcome = *read({"complain", "outcome", "5", "drum-worn"}).request;
  CHECK(outcome.act == "outcome");
  CHECK(outcome.subject == "5");
  CHECK(outcome.cause == "drum-worn");
  const auto complaint = *read({"complain", "palm", "--known", "a=yes", "faded", "--known", "b=no"}).request;
  CHECK(complaint.symptom == "faded");
  CHECK(complaint.known == std::vector<std::string>{"a=yes", "b=no"});
}

TEST_CASE("requests about upkeep that make no sense are refused before anything is asked") {
  for (const std::vector<const char*>& words :
       std::vector<std::vector<const char*>>{{"order", "--csv", "--json"},
                                             {"order", "--csv", "--sheet"},
                                             {"stock", "use", "FW-T42"},
                                             {"stock", "use", "FW-T42", "0"},
                                             {"stock", "use", "FW-T42", "many"},
                                             {"stock", "burn", "FW-T42", "1"},
                                             {"stock", "use", "FW-T42", "1", "--on-order", "2"},
                                             {"stock", "--by", "x"},
                                             {"upkeep", "done"},
                                             {"upkeep", "--note", "x"},
                                             {"upkeep", "done", "a:b", "--all"},
                                             {"upkeep", "done", "a:b", "--at", "soon"},
                                             {"meter", "--month", "2026-13"},
                                             {"meter", "--month", "October"},
                                             {"round", "--minutes", "0"},
                                             {"complain", "outcome", "5"},
                                             {"complain", "palm", "faded", "drum-worn"},
                                             {"complain", "palm", "faded", "--known", "a=perhaps"},
                                             {"complain", "--known", "a=yes"},
                                             {"history"},
                                             {"history", "palm", "--from", "2026-02-30"},
                                             {"history", "palm", "--resolution", "year"}}) {
    const auto arguments = read(words);
    INFO(words[0] << ' ' << (words.size() > 1 ? words[1] : ""));
    CHECK_FALSE(arguments.request);
    CHECK(arguments.status == ExitStatus::usage);
    CHECK_FALSE(arguments.err.empty());
  }
}

TEST_CASE("help and version are answers, not errors") {
  CHECK(read({"--help"}).status == ExitStatus::done);
  CHECK(read({"--help"}).out.find("watch") != std::string::npos);
  CHECK(read({"incidents", "--help"}).out.find("--severity") != std::string::npos);
  CHECK(read({"--version"}).out.starts_with("frisket "));
}

TEST_CASE("FRISKET_TOKEN_FILE is used where --token-file is not given") {
  ::setenv("FRISKET_TOKEN_FILE", "/tmp/desk-token", 1);
  const char* const without[] = {"frisket", "status"};
  const char* const with[] = {"frisket", "status", "--token-file", "/tmp/other-token"};
  CHECK(read_arguments(2, without).request->token_file == "/tmp/desk-token");
  CHECK(read_arguments(4, with).request->token_file == "/tmp/other-token");
  ::unsetenv("FRISKET_TOKEN_FILE");
  CHECK(read_arguments(2, without).request->token_file.empty());
}

TEST_CASE("FRISKET_SERVER is used where --server is not given") {
  ::setenv("FRISKET_SERVER", "unix:/tmp/other.sock", 1);
  CHECK(read({"status"}).request->server == "unix:/tmp/other.sock");
  CHECK(read({"status", "--server", "http://127.0.0.1:1"}).request->server == "http://127.0.0.1:1");
  ::unsetenv("FRISKET_SERVER");
  CHECK(read({"status"}).request->server.empty());
}

}  // namespace frisket::client
