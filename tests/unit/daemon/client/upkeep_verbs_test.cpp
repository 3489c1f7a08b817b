// What the verbs about upkeep ask, and what they print.
#include "daemon/client/complaint_views.h"
#include "daemon/client/csv.h"
#include "daemon/client/words.h"
#include "upkeep_fixture.h"

namespace frisket::client {
namespace {

Request asking(Verb verb) {
  Request request;
  request.verb = verb;
  request.subject = "17";
  return request;
}

std::string printed(const Request& request, bool terminal = true) {
  Run run;
  serve_upkeep(run.server);
  run.terminal = terminal;
  CHECK(run(request) == ExitStatus::done);
  CHECK(run.err.empty());
  return run.out;
}

}  // namespace

TEST_CASE("an order tells how many, by when, for whom and why; what can wait stands below") {
  const std::string out = printed(asking(Verb::order));
  CHECK(
      out.starts_with("To order: 1 part, the most pressing first. Forecasts of 03:10.\n\n[ ] 3 x FW-T42 (Fernwerk), "
                      "black toner cartridge\n"));
  CHECK(out.find("Order by      Fri 2026-11-27, in 2 days\n") != std::string::npos);
  CHECK(out.find("For           herbarium-copier, palm-printer\n") != std::string::npos);
  CHECK(out.find("seed-bank-printer: look at them\n") != std::string::npos);
  CHECK(out.find("Not to be ordered now\n") < out.find("FW-D7"));
}

TEST_CASE("a cell that a spreadsheet would calculate with is made a text, and cells are quoted as RFC 4180 has it") {
  CHECK(csv_cell("=1+1") == "'=1+1");
  CHECK(csv_cell("+1") == "'+1");
  CHECK(csv_cell("-1") == "'-1");
  CHECK(csv_cell("@SUM(A1)") == "'@SUM(A1)");
  CHECK(csv_cell("\t=1") == "'\t=1");
  CHECK(csv_cell("\r=1") == "\"'\r=1\"");
  CHECK(csv_cell("  =1") == "'  =1");
  CHECK(csv_cell("a=1") == "a=1");
  CHECK(csv_cell("a,\"b\"") == "\"a,\"\"b\"\"\"");
  CHECK(csv({"a", "b"}, {{"1", ""}}) == "a,b\r\n1,\r\n");
}

TEST_CASE("order and meter give the same columns with --csv and into a pipe") {
  for (const Verb verb : {Verb::order, Verb::meter}) {
    Request request = asking(verb);
    const std::string piped = printed(request, false);
    request.csv = true;
    std::string header = printed(request);
    header.resize(header.find("\r\n"));
    std::ranges::replace(header, ',', '\t');
    CHECK(header == piped.substr(0, piped.find('\n')));
  }
  CHECK(printed(asking(Verb::meter), false).find("\tFrond 400\t211\t\treset incomplete apportioned\n") !=
        std::string::npos);
}

TEST_CASE("each act on the stock is posted with part and count") {
  Run run;
  run.server.serve("/v1/stock", kStockLine);
  Request request = asking(Verb::stock);
  request.act = "set";
  request.subject = "FW-T42";
  request.count = 4;
  request.on_order = 0;
  CHECK(run(request) == ExitStatus::done);
  CHECK(run.server.posted.at(0) == R"({"part":"FW-T42","act":"set","count":4,"on_order":0,"by":"robin"})");
  CHECK(run.out == "part\ton_hand\ton_order\nFW-T42\t4\t0\n");
  run.server.serve("/v1/stock", R"({"detail": "there are only 4"})", 409);
  request.act = "use";
  CHECK(run(request) == ExitStatus::usage);
  CHECK(run.err.find("there are only 4") != std::string::npos);
}

TEST_CASE("a task that was done is posted under its id, and shown with cautions before steps") {
  Run run;
  run.terminal = true;
  run.server.serve("/v1/upkeep/palm%3Afilter/done", kService);
  Request request = asking(Verb::upkeep);
  request.act = "done";
  request.subject = "palm:filter";
  request.at = "2026-11-24";
  CHECK(run(request) == ExitStatus::done);
  CHECK(run.server.posted.at(0) == R"({"by":"robin","at":"2026-11-23T23:00:00.000Z"})");
  CHECK(run.out.find("Pull the mains plug.") < run.out.find("1. Open the cover."));
  CHECK(run.out.find("1. Open the cover.") < run.out.find("2. Wipe the rollers."));
}

TEST_CASE("the round has what to carry first, cautions before steps, and what can wait last") {
  const std::string out = printed(asking(Verb::round));
  std::size_t last = 0;
  for (const char* part :
       {"To carry", "1 x FW-F1 (Fernwerk); 0 on the shelf: 1 is missing", "Herbarium, floor 1",
        "1. herbarium-copier: room 12, 25 min", "[ ] Replace the fuser, 25 min", "The fuser is hot.",
        "1. Open the rear cover.", "2. Take out the fuser.", "frisket upkeep done herbarium-copier:fuser; incident 17",
        "Can wait", "palm-printer: Clean the filter; not due before December"}) {
    INFO(part << '\n' << out);
    const std::size_t found = out.find(part);
    CHECK(found != std::string::npos);
    CHECK(found > last);
    last = found;
  }
}

TEST_CASE("a sheet is the same on a terminal and in a pipe, without colour") {
  for (const Verb verb : {Verb::order, Verb::round}) {
    Request request = asking(verb);
    request.sheet = true;
    CHECK(printed(request, true) == printed(request, false));
    CHECK(printed(request, false).find('\t') == std::string::npos);
  }
}

TEST_CASE("a meter's flags are told in words with what they mean") {
  const std::string out = printed(asking(Verb::meter));
  CHECK(out.find("counter was reset, not the whole month, colour: partly estimated") != std::string::npos);
  CHECK(out.find("IN COLOUR") != std::string::npos);
  CHECK(out.find("In all 4211 impressions, 211 of them told to be in colour; 1 figure has a note.") !=
        std::string::npos);
  CHECK(out.find("the figure is too") != std::string::npos);
  CHECK(out.find("counter jumped") == std::string::npos);
}

TEST_CASE("reliability says in words how a device does beside the others, the worst first") {
  const std::string out = printed(asking(Verb::reliability));
  CHECK(out.starts_with("Jams per 10,000 sheets from Thu 2026-08-27 to Wed 2026-11-25.\n"));
  std::size_t last = 0;
  for (const char* part :
       {"herbarium-copier  20", "20.00       12.22 to 30.89  jams more often", "fern-printer", "1.00", "0.03 to 5.57",
        "no clear difference", "moss-printer", "jams less often", "alpine-printer", "no sheets counted",
        "herbarium-copier jams more often than chance explains", "Models, in the whole fleet", "Fernwerk Frond 100",
        "0.00 to 0.56", "Incidents, in the whole fleet", "media-jam", "4 d 6 h", "42 min", "not known"}) {
    INFO(part << '\n' << out);
    const std::size_t found = out.find(part, last);
    CHECK(found != std::string::npos);
    if (found != std::string::npos) last = found;
  }
}

TEST_CASE("a wide screen tells of reliability also where a device jams and how long it could print") {
  Run run;
  serve_upkeep(run.server);
  run.terminal = true;
  run.width = 200;
  CHECK(run(asking(Verb::reliability)) == ExitStatus::done);
  CHECK(run.out.find("Tray 2 (17), Duplex unit (3)") != std::string::npos);
  CHECK(run.out.find("no place told (1)") != std::string::npos);
  CHECK(run.out.find("99.37 %") != std::string::npos);
}

TEST_CASE("a pipe gets reliability as four tables whose empty cells are what is not known") {
  CHECK(printed(asking(Verb::reliability), false) ==
        "device\tsite\tjams\tsheets\trate\trate_low\trate_high\tcomparison\tavailability\tobserved_hours\tdown_hours\t"
        "maker\tmodel\n"
        "alpine-printer\talpine-house\t0\t0\t\t\t\t\t\t0\t0\t\t\n"
        "fern-printer\tglasshouse\t1\t10000\t1\t0.03\t5.57\talike\t1\t2160\t0\tFernwerk\tFrond 100\n"
        "herbarium-copier\tglasshouse\t20\t10000\t20\t12.22\t30.89\tworse\t0.9937\t2160\t13.6\tFernwerk\tFrond 400\n"
        "moss-printer\tglasshouse\t0\t90000\t0\t0\t0.41\tbetter\t1\t2160\t0\tFernwerk\tFrond 100\n"
        "\ndevice\tplace\tjams\nfern-printer\t\t1\nherbarium-copier\tTray 2\t17\nherbarium-copier\tDuplex unit\t3\n"
        "\nmaker\tmodel\tdevices\tjams\tsheets\trate\trate_low\trate_high\tcomparison\n"
        "Fernwerk\tFrond 100\t2\t1\t100000\t0.1\t0\t0.56\tbetter\n"
        "\nkind\tincidents\topen\tmean_between_hours\tmean_repair_hours\tmedian_repair_hours\n"
        "media-jam\t21\t1\t102.5\t0.7\t\n");
}

TEST_CASE("reliability asks for one device or site, and says so where there are no figures yet") {
  Run run;
  run.server.serve("/v1/reliability?device=fern&site=glasshouse",
                   R"({"from": null, "to": null, "next": null, "items": [], "models": [], "kinds": []})");
  Request request = asking(Verb::reliability);
  request.device = "fern";
  request.site = "glasshouse";
  CHECK(run(request) == ExitStatus::done);
  CHECK(run.err == "frisket: no forecast has been made yet since the daemon started\n");
  run.terminal = true;
  CHECK(run(request) == ExitStatus::done);
  CHECK(run.out.ends_with("No figures have been made yet since the daemon started.\n"));
}

TEST_CASE("a complaint is posted with what is known, and its causes come with what speaks for and against them") {
  Run run;
  run.terminal = true;
  serve_upkeep(run.server);
  Request request = asking(Verb::complain);
  request.symptom = "faded";
  request.known = {"supply-low=yes", "marks-repeat=no"};
  CHECK(run(request) == ExitStatus::done);
  CHECK(run.server.posted.at(0) ==
        R"({"known":{"supply-low":true,"marks-repeat":false},"by":"robin","symptom":"faded"})");
  CHECK(run.out.find("62 %       The toner is low: likely (supply-low)") != std::string::npos);
  CHECK(run.out.find(" for: Is a supply low? Yes (supply-low)") != std::string::npos);
  CHECK(run.out.find("a little against: Is a supply low? Yes") != std::string::npos);
  CHECK(run.out.find("Keep the cartridge level.") < run.out.find("1. Replace the cartridge."));
  CHECK(run.out.find("frisket complain outcome 5 CAUSE") != std::string::npos);
}

TEST_CASE("probabilities have the words of ICD 203") {  // 2015, D.6.e.(2)(a), from memory
  CHECK(probability_word(0.03) == "almost no chance");
  CHECK(probability_word(0.5) == "roughly even chance");
  CHECK(probability_word(0.55) == "likely");
  CHECK(probability_word(0.97) == "almost certain");
}

TEST_CASE("a date in the past of a device is the reader's whole day") {
  Run run;
  run.server.serve("/v1/devices/17/history?from=2026-11-23T23%3A00%3A00.000Z&to=2026-11-24T23%3A00%3A00.000Z",
                   kHistory);
  Request request = asking(Verb::history);
  request.from = request.to = "2026-11-24";
  CHECK(run(request) == ExitStatus::done);
  CHECK(run.out ==
        "about\tat\tuntil\tvalue\tunit\tdescription\n"
        "impressions\t2026-11-24T00:00:00.000Z\t\t120\timpressions\tImpressions\n"
        "supply:1\t2026-11-24T00:00:00.000Z\t\t42\tpercent\tBlack toner\n"
        "supply:1\t2026-11-25T00:00:00.000Z\t\t\tpercent\tBlack toner\n"
        "unobserved\t2026-11-24T10:00:00.000Z\t2026-11-24T12:00:00.000Z\t\t\t\n"
        "incident:17\t2026-11-24T08:00:00.000Z\t\t\t\tcritical media-jam\n");
}

TEST_CASE("days left are told with their range, or with why there is no date") {
  Supply supply;
  CHECK(days_words(supply).empty());
  supply.days_left_why = "too little history: 4 days";
  CHECK(days_words(supply) == "no date: too little history: 4 days");
  supply.days_left = DaysLeft{5, 12.4, 20};
  CHECK(days_words(supply) == "12 days (5 to 20)");
  supply.days_left = DaysLeft{90, 300, std::nullopt};
  CHECK(days_words(supply) == "300 days (90 or more)");
  supply.days_left = DaysLeft{90, std::nullopt, std::nullopt};
  CHECK(days_words(supply) == "90 days or more");
}

TEST_CASE("where there is no forecast yet, a pipe is warned on standard error") {
  Run run;
  run.server.serve("/v1/order?wanted=true", R"({"items": [], "next": null, "made_at": null})");
  CHECK(run(asking(Verb::order)) == ExitStatus::done);
  CHECK(run.err == "frisket: no forecast has been made yet since the daemon started\n");
}

}  // namespace frisket::client
