// Texts that a device or an impostor sends must never act on the reader's terminal.
#include "upkeep_fixture.h"

namespace frisket::client {
namespace {

// Escape sequences (C0 and C1), title changes, line ends that fake rows, tabs that fake columns, a direction
// override; in the JSON's own escapes, so that the parser hands over the raw characters.
const char* const kHostile = R"(\u001b[2J\u001b]0;owned\u0007\u009b31m\r\nfake\trow\u202egnp\u0000\u007f</b>')";

std::string with_hostile_texts(std::string json) {
  for (const char* text : {"Tray 2",
                           "Paper is jammed at tray 2.",
                           "Front cover",
                           "Black toner",
                           "Herbarium, first floor",
                           "Jam in tray 2",
                           "Frond 400",
                           "row 3: critical, jam, 'Jam in tray 2'",
                           "pick roller kit",
                           "Close the tray.",
                           "glasshouse",
                           "media-jam",
                           "idle",
                           "Attention",
                           "office",
                           "connecting-to-device",
                           "Connecting to the printer",
                           "Fernwerk Frond 400, plain",
                           "Copier",
                           "socket://127.0.1.5",
                           "application/pdf",
                           "job-printing",
                           "Seed list",
                           "moss",
                           "1 waiting job was cancelled.",
                           "The queue prints.",
                           "no answer in 10 s",
                           "processing",
                           "FW-T42",
                           "Fernwerk",
                           "toner cartridge",
                           "Two run out before the next delivery.",
                           "palm-printer",
                           "Clean the feed rollers",
                           "Wipe the rollers.",
                           "reset",
                           "Replace the fuser",
                           "room 12",
                           "FW-F1",
                           "not due before December",
                           "faded",
                           "supply-low",
                           "The toner is low",
                           "Is a supply low?",
                           "Replace the cartridge.",
                           "worn"}) {
    for (std::size_t at = json.find('"' + std::string(text) + '"'); at != std::string::npos;
         at = json.find('"' + std::string(text) + '"', at + 1))
      json.replace(at + 1, std::string_view(text).size(), kHostile);
  }
  return json;
}

// What may be printed: nothing below space but the given characters, no DEL, no C1, no override.
void check_inert(const std::string& out, std::string_view allowed) {
  REQUIRE_FALSE(out.empty());
  for (std::size_t i = 0; i < out.size(); ++i) {
    const auto octet = static_cast<unsigned char>(out[i]);
    if (octet < 0x20) CHECK(allowed.find(out[i]) != std::string_view::npos);
    CHECK(octet != 0x7F);
    if (octet == 0xC2 && i + 1 < out.size()) CHECK(static_cast<unsigned char>(out[i + 1]) >= 0xA0);
  }
  CHECK(out.find("\xE2\x80\xAE") == std::string::npos);
}

void serve_hostile(FakeServer& server) {
  serve_upkeep(server, with_hostile_texts);
  server.serve("/v1/fleet", with_hostile_texts(kFleet));
  server.serve("/v1/devices", list_of({with_hostile_texts(kCopier)}));
  server.serve("/v1/devices/herbarium-copier", with_hostile_texts(kCopier));
  for (const char* path : {"", "/ack", "/shelve", "/close", "/take-back"})
    server.serve(std::string("/v1/incidents/17") + path, with_hostile_texts(kJam));
  server.serve("/v1/hooks/17/test", R"({"hook": "17", "told": true, "receiver": ")" + std::string(kHostile) + R"("})");
  // Its verdict is a word of the daemon's, and what the client ends with.
  server.serve("/v1/devices/17/testprint",
               R"({"device": "a)" + std::string(kHostile) + R"(", "dry_run": false, "verdict": "printed", "to": ")" +
                   kHostile + R"(", "reasons": [")" + kHostile + R"("], "said": ")" + kHostile + R"("})");
  server.serve("/v1/queues", list_of({with_hostile_texts(kQueue), with_hostile_texts(kUnreadQueue)}));
  server.serve("/v1/queues/17", with_hostile_texts(kQueue));
  server.serve("/v1/queues/17/jobs", with_hostile_texts(kQueueJobs));
  server.serve("/v1/queues/17/cancel", with_hostile_texts(kCancelled));
  server.serve(kOpenIncidents + "&queue=17", list_of({with_hostile_texts(kJam)}));
  server.serve(kOpenIncidents, list_of({with_hostile_texts(kJam)}));
  server.serve(kOpenIncidents + "&device=herbarium-copier", list_of({with_hostile_texts(kJam)}));
  server.serve("/v1/supplies", list_of({R"({"device": "a)" + std::string(kHostile) + R"(", "description": ")" +
                                        kHostile + R"(", "part": ")" + kHostile + R"("})"}));
  server.stream({"event: notice\ndata: {\"notice\": \"" + std::string(kHostile) +
                 "\", \"at\": \"2026-11-25T08:12:00Z\", \"incident\": " +
                 [] {
                   std::string one_line = with_hostile_texts(kJam);
                   std::erase(one_line, '\n');
                   return one_line;
                 }() +
                 "}\n\n"});
}

}  // namespace

TEST_CASE("hostile texts are inert in every view, piped, on a terminal and as JSON") {
  for (const VerbWords& verb : verbs())
    for (const bool terminal : {false, true})
      for (const bool json : {false, true}) {
        Run run;
        serve_hostile(run.server);
        run.terminal = terminal;
        Request request;
        request.verb = verb.verb;
        request.json = json;
        request.subject = verb.verb == Verb::device ? "herbarium-copier" : "17";
        INFO(verb.name << (terminal ? " terminal" : " piped") << (json ? " json" : ""));
        CHECK(run(request) == ExitStatus::done);
        check_inert(run.out, terminal || json ? "\n" : "\n\t");
      }
}

TEST_CASE("hostile texts of queues and jobs are inert, also in the question before jobs are lost") {
  for (const char* act : {"jobs", "cancel"})
    for (const bool terminal : {false, true})
      for (const bool json : {false, true}) {
        Run run;
        serve_hostile(run.server);
        run.terminal = terminal;
        std::string question;
        run.ask = [&](const std::string& shown) {
          question = shown;
          return true;
        };
        Request request;
        request.verb = Verb::queue;
        request.subject = "17";
        request.act = act;
        request.waiting = request.act == "cancel";
        request.json = json;
        INFO(act << (terminal ? " terminal" : " piped") << (json ? " json" : ""));
        CHECK(run(request) == ExitStatus::done);
        check_inert(run.out, terminal || json ? "\n" : "\n\t");
        if (request.waiting) check_inert(question, "\n");
      }
}

TEST_CASE("hostile texts of upkeep are inert in its acts, sheets, spreadsheets and diagnoses") {
  for (const char* form : {"piped", "terminal", "csv", "sheet"})
    for (const Verb verb : {Verb::order, Verb::meter, Verb::round, Verb::upkeep, Verb::complain}) {
      Run run;
      serve_hostile(run.server);
      run.terminal = form == std::string_view("terminal");
      Request request;
      request.verb = verb;
      request.subject = "17";
      request.csv = form == std::string_view("csv");
      request.sheet = form == std::string_view("sheet");
      if (verb == Verb::upkeep) request.act = "done";
      if (verb == Verb::complain) request.symptom = "x";
      INFO(form << ' ' << static_cast<int>(verb));
      CHECK(run(request) == ExitStatus::done);
      check_inert(run.out, "\n\t\r");
    }
}

TEST_CASE("hostile texts cannot add a row or a column to what a pipe gets") {
  Run run;
  serve_hostile(run.server);
  Request request;
  request.verb = Verb::devices;
  CHECK(run(request) == ExitStatus::done);
  CHECK(std::count(run.out.begin(), run.out.end(), '\n') == 2);
  CHECK(std::count(run.out.begin(), run.out.end(), '\t') == 20);
}

TEST_CASE("a hostile problem document is inert in the error's sentence") {
  Run run;
  run.server.serve("/v1/devices", R"({"title": ")" + std::string(kHostile) + R"(", "detail": ")" + kHostile + R"("})",
                   403);
  Request request;
  request.verb = Verb::devices;
  CHECK(run(request) == ExitStatus::refused);
  check_inert(run.err, "\n");
  CHECK(std::count(run.err.begin(), run.err.end(), '\n') == 1);
}

TEST_CASE("the JSON still means what was served") {
  Run run;
  serve_hostile(run.server);
  Request request;
  request.verb = Verb::incident;
  request.subject = "17";
  request.json = true;
  CHECK(run(request) == ExitStatus::done);
  CHECK(parse_json(run.out).value() == parse_json(with_hostile_texts(kJam)).value());
}

TEST_CASE("colour comes from us alone, and every coloured word is a word without its colour") {
  Run plain;
  Run coloured;
  for (Run* run : {&plain, &coloured}) {
    serve_hostile(run->server);
    run->terminal = true;
    run->colour = run == &coloured;
    Request request;
    request.verb = Verb::status;
    CHECK((*run)(request) == ExitStatus::done);
  }
  std::string stripped = coloured.out;
  for (const char* sequence : {"\x1b[0m", "\x1b[1m", "\x1b[1;31m", "\x1b[31m", "\x1b[33m", "\x1b[36m"})
    for (std::size_t at = stripped.find(sequence); at != std::string::npos; at = stripped.find(sequence))
      stripped.erase(at, std::string_view(sequence).size());
  CHECK(coloured.out != plain.out);
  CHECK(stripped == plain.out);
}

}  // namespace frisket::client
