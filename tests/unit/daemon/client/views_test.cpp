// Whole outputs, compared to the letter, for answers as the daemon gives them.
#include <sstream>

#include "daemon/client/display.h"
#include "daemon/client/words.h"
#include "fixture.h"

namespace frisket::client {
namespace {

DeviceCounts fleet() { return device_counts_from(parse_json(kFleet).value(), "").value(); }
std::vector<Incident> open_incidents() { return {incident(kLowToner), incident(kJam)}; }
std::vector<Device> garden() { return {device(kCopier), device(kSeedPrinter)}; }

std::vector<FleetSupply> garden_supplies() {
  std::vector<FleetSupply> out;
  for (const Supply& each : device(kCopier).supplies)
    out.push_back({"herbarium-copier", "glasshouse", "Herbarium", each});
  return out;
}

}  // namespace

TEST_CASE("status on a terminal counts the states and tells what is open, worst first") {
  CHECK(status_screen(fleet(), open_incidents(), screen_of(80)) ==
        R"(14 devices: 11 ready, 1 busy, 1 stopped, 1 silent
2 open incidents: 1 critical, 1 warning

critical  herbarium-copier, Tray 2 (glasshouse)
          Paper is jammed at tray 2.
          since 09:12, 25 min; incident 17

warning   herbarium-copier, Black toner (glasshouse)
          Black toner is down to 4 per cent.
          since Mon 07:37, 2 d 2 h; incident 12
)");
}

TEST_CASE("status says so where nothing is open") {
  CHECK(status_screen(fleet(), {}, screen_of(80)) ==
        R"(14 devices: 11 ready, 1 busy, 1 stopped, 1 silent
No incident is open.
)");
}

TEST_CASE("status on a narrow terminal wraps and loses nothing") {
  CHECK(status_screen(fleet(), open_incidents(), screen_of(40)) ==
        R"(14 devices: 11 ready, 1 busy, 1 stopped,
1 silent
2 open incidents: 1 critical, 1 warning

critical  herbarium-copier, Tray 2
          (glasshouse)
          Paper is jammed at tray 2.
          since 09:12, 25 min; incident
          17

warning   herbarium-copier, Black toner
          (glasshouse)
          Black toner is down to 4 per
          cent.
          since Mon 07:37, 2 d 2 h;
          incident 12
)");
}

TEST_CASE("status in a pipe is two tables") {
  CHECK(status_lines(fleet(), open_incidents()) ==
        "state\tdevices\n"
        "ready\t11\n"
        "busy\t1\n"
        "attention\t0\n"
        "stopped\t1\n"
        "silent\t1\n"
        "unknown\t0\n"
        "total\t14\n"
        "\n"
        "id\tseverity\tstate\toperator\tkind\tsite\tdevice\tqueue\tsubunit\tplace\ttraining\traised_at\tchanged_"
        "at\tcleared_at\tsummary\n"
        "17\tcritical\traised\tnone\tmedia-jam\tglasshouse\therbarium-copier\t\tinput:2\tTray "
        "2\tuntrained\t2026-11-25T08:12:00.000Z\t2026-11-25T08:12:00.000Z\t\tPaper is jammed at tray 2.\n"
        "12\twarning\traised\tack\ttoner-low\tglasshouse\therbarium-copier\t\tsupply:1\tBlack "
        "toner\tuntrained\t2026-11-23T06:37:00.000Z\t2026-11-23T06:37:00.000Z\t\tBlack toner is down to 4 per cent.\n");
}

TEST_CASE("devices on a terminal: names whole, the rest fitted, wide characters aligned") {
  CHECK(devices_screen(garden(), screen_of(80)) ==
        R"(DEVICE             STATE    SITE        LOCATION             SAYS
herbarium-copier   stopped  glasshouse  Herbarium, first f…  media-jam, cover-o…
seed-bank-printer  silent   seed bank   種子の部屋           no answer in 3 att…
)");
}

TEST_CASE("devices on a narrow terminal become blocks") {
  CHECK(devices_screen(garden(), screen_of(40)) ==
        R"(DEVICE: herbarium-copier
STATE: stopped
SITE: glasshouse
LOCATION: Herbarium, first floor
MODEL: Fernwerk Frond 400
SAYS: media-jam, cover-open

DEVICE: seed-bank-printer
STATE: silent
SITE: seed bank
LOCATION: 種子の部屋
SAYS: no answer in 3 attempts
)");
}

TEST_CASE("devices in a pipe") {
  CHECK(devices_lines(garden()) ==
        "name\tstate\tsite\tlocation\taddress\tmaker\tmodel\tserial\timpressions\tlast_reading_at\tconditions\n"
        "herbarium-copier\tstopped\tglasshouse\tHerbarium, first floor\t127.0.1.5\tFernwerk\tFrond "
        "400\tFW-0400-77\t120345\t2026-11-25T08:36:30.000Z\tmedia-jam,cover-open\n"
        "seed-bank-printer\tsilent\tseed bank\t種子の部屋\t127.0.1.6\t\t\t\t\t\t\n");
}

TEST_CASE("a device on a terminal shows what a technician asks") {
  CHECK(device_screen(garden()[0], open_incidents(), screen_of(80)) ==
        R"(herbarium-copier: stopped
  Where      Herbarium, first floor, site glasshouse
  Model      Fernwerk Frond 400, serial FW-0400-77
  Address    127.0.1.5
  Printed    120345 impressions
  Last read  09:36, under a minute ago

Console
  "Jam in tray 2"
  "Open tray 2"
  light Attention, red, blinking

Supplies
  1  Black toner  [#.........]  4 per cent, low       5 days (2 to 9)  FW-T42
  2  waste-toner  [#########.]  room for 88 per cent
  3  Drum                       some left

Trays
  1  Tray 1  A4  [#####.....]  250 of 500 sheets  idle
  2  Tray 2      [..........]  empty              broken, critical alerts

Output bins
  1  Top bin  some room left  idle

Covers
  1  Front cover  open
  2  Rear cover   closed

Conditions
  critical  media-jam   Tray 2       since 09:12, 25 min
  minor     cover-open  Front cover  since 09:36, under a minute

Open incidents
critical  herbarium-copier, Tray 2 (glasshouse)
          Paper is jammed at tray 2.
          since 09:12, 25 min; incident 17

warning   herbarium-copier, Black toner (glasshouse)
          Black toner is down to 4 per cent.
          since Mon 07:37, 2 d 2 h; incident 12
)");
}

TEST_CASE("a device that never answered says why, and shows no empty sections") {
  CHECK(device_screen(garden()[1], {}, screen_of(80)) ==
        R"(seed-bank-printer: does not answer
  Detail     no answer in 3 attempts
  Where      種子の部屋, site seed bank
  Address    127.0.1.6
  Last read  never

Open incidents
  none
)");
}

TEST_CASE("a device in a pipe is one fact per line") {
  CHECK(device_lines(garden()[0], open_incidents()) ==
        "about\tfield\tvalue\n"
        "device\tname\therbarium-copier\n"
        "device\tstate\tstopped\n"
        "device\tdetail\t\n"
        "device\tsite\tglasshouse\n"
        "device\tlocation\tHerbarium, first floor\n"
        "device\taddress\t127.0.1.5\n"
        "device\tmaker\tFernwerk\n"
        "device\tmodel\tFrond 400\n"
        "device\tserial\tFW-0400-77\n"
        "device\timpressions\t120345\n"
        "device\tlast_reading_at\t2026-11-25T08:36:30.000Z\n"
        "console:1\ttext\tJam in tray 2\n"
        "console:2\ttext\tOpen tray 2\n"
        "supply:1\ttype\ttoner\n"
        "supply:1\tclass\tconsumed\n"
        "supply:1\tcolorant\tblack\n"
        "supply:1\tdescription\tBlack toner\n"
        "supply:1\tpart\tFW-T42\n"
        "supply:1\tpercent\t4\n"
        "supply:1\tlevel\tknown\n"
        "supply:1\tlow\ttrue\n"
        "supply:1\tdays_left_p10\t2\n"
        "supply:1\tdays_left_p50\t5.4\n"
        "supply:1\tdays_left_p90\t9\n"
        "supply:1\tdays_left_why\t\n"
        "supply:2\ttype\twaste-toner\n"
        "supply:2\tclass\tfilled\n"
        "supply:2\tcolorant\t\n"
        "supply:2\tdescription\t\n"
        "supply:2\tpart\t\n"
        "supply:2\tpercent\t88\n"
        "supply:2\tlevel\tknown\n"
        "supply:2\tlow\tfalse\n"
        "supply:2\tdays_left_p10\t\n"
        "supply:2\tdays_left_p50\t\n"
        "supply:2\tdays_left_p90\t\n"
        "supply:2\tdays_left_why\t\n"
        "supply:3\ttype\topc\n"
        "supply:3\tclass\tconsumed\n"
        "supply:3\tcolorant\t\n"
        "supply:3\tdescription\tDrum\n"
        "supply:3\tpart\t\n"
        "supply:3\tpercent\t\n"
        "supply:3\tlevel\tsome\n"
        "supply:3\tlow\tfalse\n"
        "supply:3\tdays_left_p10\t\n"
        "supply:3\tdays_left_p50\t\n"
        "supply:3\tdays_left_p90\t\n"
        "supply:3\tdays_left_why\t\n"
        "input:1\tname\tTray 1\n"
        "input:1\tmedia\tA4\n"
        "input:1\tpercent\t50\n"
        "input:1\tlevel\tknown\n"
        "input:1\tempty\tfalse\n"
        "input:1\tremaining\t250\n"
        "input:1\tcapacity\t500\n"
        "input:1\tunit\tsheets\n"
        "input:1\tstatus\tidle\n"
        "input:2\tname\tTray 2\n"
        "input:2\tmedia\t\n"
        "input:2\tpercent\t0\n"
        "input:2\tlevel\tknown\n"
        "input:2\tempty\ttrue\n"
        "input:2\tremaining\t0\n"
        "input:2\tcapacity\t500\n"
        "input:2\tunit\tsheets\n"
        "input:2\tstatus\tbroken, critical alerts\n"
        "output:1\tname\tTop bin\n"
        "output:1\tmedia\t\n"
        "output:1\tpercent\t\n"
        "output:1\tlevel\tsome\n"
        "output:1\tfull\tfalse\n"
        "output:1\tremaining\t\n"
        "output:1\tcapacity\t150\n"
        "output:1\tunit\tsheets\n"
        "output:1\tstatus\tidle\n"
        "cover:1\tname\tFront cover\n"
        "cover:1\topen\ttrue\n"
        "cover:2\tname\tRear cover\n"
        "cover:2\topen\tfalse\n"
        "condition:1\tkeyword\tmedia-jam\n"
        "condition:1\tseverity\tcritical\n"
        "condition:1\tsubunit\tinput:2\n"
        "condition:1\tplace\tTray 2\n"
        "condition:1\tsince\t2026-11-25T08:12:00.000Z\n"
        "condition:2\tkeyword\tcover-open\n"
        "condition:2\tseverity\tminor\n"
        "condition:2\tsubunit\tcover:1\n"
        "condition:2\tplace\tFront cover\n"
        "condition:2\tsince\t2026-11-25T08:36:30.000Z\n"
        "incident:17\tseverity\tcritical\n"
        "incident:17\tkind\tmedia-jam\n"
        "incident:17\tplace\tTray 2\n"
        "incident:17\traised_at\t2026-11-25T08:12:00.000Z\n"
        "incident:17\tsummary\tPaper is jammed at tray 2.\n"
        "incident:12\tseverity\twarning\n"
        "incident:12\tkind\ttoner-low\n"
        "incident:12\tplace\tBlack toner\n"
        "incident:12\traised_at\t2026-11-23T06:37:00.000Z\n"
        "incident:12\tsummary\tBlack toner is down to 4 per cent.\n");
}

TEST_CASE("supplies on a terminal have a bar and words") {
  CHECK(supplies_screen(garden_supplies(), screen_of(80)) ==
        R"(DEVICE            SUPPLY                     LEFT                  PART
herbarium-copier  Black toner  [#.........]  4 per cent, low       FW-T42
herbarium-copier  waste-toner  [#########.]  room for 88 per cent
herbarium-copier  Drum                       some left
)");
}

TEST_CASE("supplies in a pipe") {
  CHECK(supplies_lines(garden_supplies()) ==
        "device\tsite\tlocation\tindex\ttype\tclass\tcolorant\tdescription\tpart\tpercent\tlevel\tlow\tdays_left_"
        "p10\tdays_left_p50\tdays_left_p90\tdays_left_why\n"
        "herbarium-copier\tglasshouse\tHerbarium\t1\ttoner\tconsumed\tblack\tBlack "
        "toner\tFW-T42\t4\tknown\ttrue\t2\t5.4\t9\t\n"
        "herbarium-copier\tglasshouse\tHerbarium\t2\twaste-toner\tfilled\t\t\t\t88\tknown\tfalse\t\t\t\t\n"
        "herbarium-copier\tglasshouse\tHerbarium\t3\topc\tconsumed\t\tDrum\t\t\tsome\tfalse\t\t\t\t\n");
}

TEST_CASE("incidents on a terminal keep the order as served") {
  CHECK(incidents_screen({incident(kLowToner), incident(kJam), incident(kSilent)}, screen_of(80)) ==
        R"(INCIDENT  SEVERITY  SINCE               DEVICE             WHAT
12        warning   Mon 07:37, 2 d 2 h  herbarium-copier   Black toner is down …
17        critical  09:12, 25 min       herbarium-copier   Paper is jammed at t…
9         major     cleared 09:01       seed-bank-printer  The device does not …
)");
}

TEST_CASE("incidents in a pipe") {
  CHECK(incidents_lines({incident(kLowToner), incident(kJam), incident(kSilent)}) ==
        "id\tseverity\tstate\toperator\tkind\tsite\tdevice\tqueue\tsubunit\tplace\ttraining\traised_at\tchanged_"
        "at\tcleared_at\tsummary\n"
        "12\twarning\traised\tack\ttoner-low\tglasshouse\therbarium-copier\t\tsupply:1\tBlack "
        "toner\tuntrained\t2026-11-23T06:37:00.000Z\t2026-11-23T06:37:00.000Z\t\tBlack toner is down to 4 per cent.\n"
        "17\tcritical\traised\tnone\tmedia-jam\tglasshouse\therbarium-copier\t\tinput:2\tTray "
        "2\tuntrained\t2026-11-25T08:12:00.000Z\t2026-11-25T08:12:00.000Z\t\tPaper is jammed at tray 2.\n"
        "9\tmajor\tcleared\tnone\tdevice-silent\tseed "
        "bank\tseed-bank-printer\t\t\t\tuntrained\t2026-11-03T07:00:00.000Z\t2026-11-03T07:00:00.000Z\t2026-11-25T08:"
        "01:00.000Z\tThe device does not answer.\n");
}

TEST_CASE("an incident on a terminal: evidence with its witnesses, cautions before steps, what to carry") {
  CHECK(incident_screen(incident(kJam), screen_of(80)) ==
        R"(critical: Paper is jammed at tray 2.
  Incident   17, media-jam, raised
  Where      herbarium-copier, Tray 2 (glasshouse)
  Since      09:12, 25 min
  Work for   anybody

Evidence
  critical  media-jam, Tray 2, since 09:12, 25 min
            alert-table: row 3: critical, jam, 'Jam in tray 2'
            error-bits: jammed

Caution
  ! The fuser is hot: let it cool, and do not touch it.

Steps
  1. Open tray 2 and take out the sheet.
  2. Close the tray.

Carry
  1 x pick roller kit (Fernwerk)
)");
}

TEST_CASE("an incident that was cleared says when, and after how long") {
  CHECK(incident_screen(incident(kSilent), screen_of(80)) ==
        R"(major: The device does not answer.
  Incident   9, device-silent, cleared
  Where      seed-bank-printer (seed bank)
  Since      2026-11-03 08:00
  Cleared    09:01, after 22 d 1 h
  Work for   anybody
)");
}

TEST_CASE("an incident tells how often it came back, how it ended and what people said") {
  const auto told = incident(R"({"id": "21", "kind": "toner-empty", "severity": "major", "state": "cleared",
    "operator": "shelved", "summary": "Black toner is empty.", "times_raised": 3, "planned": true,
    "shelved_until": "2026-11-25T16:00:00Z", "outcome": "replaced at 120345 impressions", "proof": "awaited",
    "actions": [{"at": "2026-11-25T08:15:00Z", "operator": "ack", "by": "robin", "note": "on my way"},
                {"at": "2026-11-25T08:30:00Z", "operator": "shelved", "by": "", "note": ""}]})");
  CHECK(incident_screen(told, screen_of(80)) ==
        R"(major: Black toner is empty.
  Incident   21, toner-empty, cleared
  Raised     3 times
  Ended      replaced at 120345 impressions
  Proof      no page was printed since; print a few test pages
  Planned    raised in a maintenance window
  Operator   shelved until 17:00
  Said       ack by robin, 09:15: on my way
  Said       shelved, 09:30
)");
  CHECK(incident_lines(told).find("incident\tproof\tawaited\naction:1\tat\t2026-11-25T08:15:00.000Z\n"
                                  "action:1\toperator\tack\naction:1\tby\trobin\naction:1\tnote\ton my way\n") !=
        std::string::npos);
}

TEST_CASE("saying something of an incident posts it, under one's own name unless another is given") {
  Run run;
  run.server.serve("/v1/incidents/17/shelve", kJam);
  run.server.serve("/v1/incidents/17/ack", kJam);
  Request request;
  request.verb = Verb::shelve;
  request.subject = "17";
  request.note = "parts come tomorrow";
  request.duration = "8h";
  CHECK(run(request) == ExitStatus::done);
  CHECK(run.out == incident_lines(incident(kJam)));
  request = {};
  request.verb = Verb::ack;
  request.subject = "17";
  request.by = "wren";
  CHECK(run(request) == ExitStatus::done);
  CHECK(run.server.posted ==
        std::vector<std::string>{R"({"by":"robin","note":"parts come tomorrow","for":"8h"})", R"({"by":"wren"})"});
  run.server.serve("/v1/incidents/17/close", R"({"title":"Conflict","detail":"not now"})", 409);
  request.verb = Verb::close;
  CHECK(run(request) == ExitStatus::usage);
  CHECK(run.err.find("not now") != std::string::npos);
  request.verb = Verb::take_back;
  request.subject = "99";
  CHECK(run(request) == ExitStatus::usage);
}

TEST_CASE("an incident in a pipe is one fact per line") {
  CHECK(incident_lines(incident(kJam)) ==
        "about\tfield\tvalue\n"
        "incident\tid\t17\n"
        "incident\tkind\tmedia-jam\n"
        "incident\tseverity\tcritical\n"
        "incident\tstate\traised\n"
        "incident\toperator\tnone\n"
        "incident\tsite\tglasshouse\n"
        "incident\tdevice\therbarium-copier\n"
        "incident\tqueue\t\n"
        "incident\tsubunit\tinput:2\n"
        "incident\tplace\tTray 2\n"
        "incident\ttraining\tuntrained\n"
        "incident\traised_at\t2026-11-25T08:12:00.000Z\n"
        "incident\tchanged_at\t2026-11-25T08:12:00.000Z\n"
        "incident\tcleared_at\t\n"
        "incident\tsummary\tPaper is jammed at tray 2.\n"
        "incident\ttimes_raised\t1\n"
        "incident\tplanned\tfalse\n"
        "incident\tshelved_until\t\n"
        "incident\toutcome\t\n"
        "incident\tproof\t\n"
        "evidence:1\tkeyword\tmedia-jam\n"
        "evidence:1\tseverity\tcritical\n"
        "evidence:1\tsubunit\tinput:2\n"
        "evidence:1\tplace\tTray 2\n"
        "evidence:1\tsince\t2026-11-25T08:12:00.000Z\n"
        "evidence:1\twitness\talert-table: row 3: critical, jam, 'Jam in tray 2'\n"
        "evidence:1\twitness\terror-bits: jammed\n"
        "caution:1\ttext\tThe fuser is hot: let it cool, and do not touch it.\n"
        "step:1\ttext\tOpen tray 2 and take out the sheet.\n"
        "step:2\ttext\tClose the tray.\n"
        "carry:1\tpart\tpick roller kit\n"
        "carry:1\tmaker\tFernwerk\n"
        "carry:1\tcolorant\t\n"
        "carry:1\tcount\t1\n");
}

TEST_CASE("colour stands around severities and headings only") {
  CHECK(status_screen(fleet(), {incident(kLowToner)}, screen_of(80, true)) ==
        "14 devices: 11 ready, 1 busy, 1 stopped, 1 silent\n"
        "1 open incident: 1 warning\n"
        "\n"
        "\x1b[36mwarning   \x1b[0mherbarium-copier, Black toner (glasshouse)\n"
        "          Black toner is down to 4 per cent.\n"
        "          since Mon 07:37, 2 d 2 h; incident 12\n");
}

TEST_CASE("empty lists say so to people and are a header alone to programs") {
  CHECK(devices_screen({}, screen_of(80)) == "No such device is configured.\n");
  CHECK(supplies_screen({}, screen_of(80)) == "No such supply is known.\n");
  CHECK(incidents_screen({}, screen_of(80)) == "No such incident.\n");
  for (const std::string& lines : {devices_lines({}), supplies_lines({}), incidents_lines({})})
    CHECK(std::count(lines.begin(), lines.end(), '\n') == 1);
}

TEST_CASE("no line of any screen is wider than the terminal, from 20 columns on") {
  for (std::size_t width = 20; width <= 120; ++width) {
    const Screen screen = screen_of(width);
    for (const std::string& text :
         {status_screen(fleet(), open_incidents(), screen), devices_screen(garden(), screen),
          device_screen(garden()[0], open_incidents(), screen), device_screen(garden()[1], {}, screen),
          supplies_screen(garden_supplies(), screen), incidents_screen(open_incidents(), screen),
          incident_screen(incident(kJam), screen)}) {
      std::istringstream lines(text);
      for (std::string line; std::getline(lines, line);) {
        INFO(width << ": " << line);
        CHECK(columns(line) <= width);
      }
    }
  }
}

// A receptacle's level is the room left (RFC 3805, prtMarkerSuppliesLevel with
// receptacleThatIsFilled); -3 is "at least one unit remains", -2 unknown, -1 no restriction.
TEST_CASE("levels are told in the words that fit their class") {
  Supply toner;
  toner.supply_class = "consumed";
  toner.percent = 42.4;
  CHECK(level_words(toner) == "42 per cent");
  toner.percent = 0.4;
  CHECK(level_words(toner) == "under 1 per cent");
  toner.percent = 0.0;
  toner.low = true;
  CHECK(level_words(toner) == "none, low");
  toner.low = false;
  toner.percent.reset();
  toner.level = "some";
  CHECK(level_words(toner) == "some left");
  toner.level = "unlimited";
  CHECK(level_words(toner) == "no limit");
  toner.level = "unknown";
  CHECK(level_words(toner) == "not known");

  Supply waste;
  waste.supply_class = "filled";
  waste.percent = 0.0;
  CHECK(level_words(waste) == "full");
  waste.percent = 12.0;
  CHECK(level_words(waste) == "room for 12 per cent");
  waste.percent.reset();
  waste.level = "some";
  CHECK(level_words(waste) == "some room left");
}

TEST_CASE("a bar has ten places, shows something for anything, and takes any number") {
  CHECK(bar(0.0) == "[..........]");
  CHECK(bar(0.1) == "[#.........]");
  CHECK(bar(44.0) == "[####......]");
  CHECK(bar(45.0) == "[#####.....]");
  CHECK(bar(100.0) == "[##########]");
  CHECK(bar(1e300) == "[##########]");
  CHECK(bar(-1e300) == "[..........]");
  CHECK(bar(std::nullopt) == "            ");
}

}  // namespace frisket::client
