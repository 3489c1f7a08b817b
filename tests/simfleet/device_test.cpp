// A simulated printer's behaviour against RFC 3805 sections 2.2.13 and 6.
#include "tests/simfleet/device.h"

#include <catch2/catch.hpp>

using namespace frisket::simfleet;
using namespace std::chrono_literals;

namespace {

// One printer of a shipped model, asked by OID.
class Printer {
 public:
  explicit Printer(const std::string& model, Start start = {},
                   std::vector<std::pair<SimTime, std::string>> time_line = {}, SimTime repeat = SimTime{0})
      : model_(load_model(std::string(FRISKET_TESTS_DIR) + "/simfleet/models/" + model + ".toml")) {
    std::vector<Timed> events;
    for (const auto& [at, line] : time_line) events.push_back({at, event(line)});
    device_ = std::make_unique<Device>(Identity{"p", 0x7F000001, "s", "l", "SN1", "c"}, model_, start, events, repeat);
  }

  void does(const std::string& line) { device_->apply(event(line), now_); }
  void after(SimTime at) {
    now_ = at;
    device_->advance_to(now_);
  }

  // The encoded value, or nothing.
  std::optional<std::string> raw(const std::string& oid) const {
    std::string name;
    ber::append_oid(name, ber::parse_oid(oid).value());
    const auto view = device_->view(now_);
    const auto value = view.find(name);
    return value ? std::optional(std::string(*value)) : std::nullopt;
  }
  std::int64_t number(const std::string& oid) const {
    const auto value = raw(oid);
    REQUIRE(value);
    return ber::decode_integer(ber::Reader(*value).next()->body).value();
  }
  std::string text(const std::string& oid) const {
    const auto value = raw(oid);
    REQUIRE(value);
    return std::string(ber::Reader(*value).next(ber::octet_string)->body);
  }

  std::int64_t device_status() const { return number("1.3.6.1.2.1.25.3.2.1.5.1"); }
  std::int64_t printer_status() const { return number("1.3.6.1.2.1.25.3.5.1.1.1"); }
  std::string errors() const { return text("1.3.6.1.2.1.25.3.5.1.2.1"); }
  std::int64_t all_events() const { return number("1.3.6.1.2.1.43.5.1.1.19.1"); }
  std::int64_t critical_events() const { return number("1.3.6.1.2.1.43.5.1.1.18.1"); }
  std::int64_t alert(int column, int index) const {
    return number("1.3.6.1.2.1.43.18.1.1." + std::to_string(column) + ".1." + std::to_string(index));
  }
  bool has_alert(int index) const { return raw("1.3.6.1.2.1.43.18.1.1.2.1." + std::to_string(index)).has_value(); }
  std::int64_t pages() const { return number("1.3.6.1.2.1.43.10.2.1.4.1.1"); }
  std::int64_t uptime() const { return number("1.3.6.1.2.1.1.3.0"); }
  Device& device() { return *device_; }

 private:
  Event event(const std::string& line) const {
    auto parsed = parse_event(line, *model_);
    if (const auto* wrong = std::get_if<std::string>(&parsed)) FAIL(*wrong);
    return std::get<Event>(parsed);
  }

  std::shared_ptr<const Model> model_;
  std::unique_ptr<Device> device_;
  SimTime now_{0};
};

const std::string kInputStatus1 = "1.3.6.1.2.1.43.8.2.1.11.1.1";
const std::string kInputStatus2 = "1.3.6.1.2.1.43.8.2.1.11.1.2";

std::string bits(int first, int second) { return {static_cast<char>(first), static_cast<char>(second)}; }

}  // namespace

TEST_CASE("a printer with nothing wrong is running and idle, with no bit and no alert") {
  const Printer printer("tarnwick-m210");
  CHECK(printer.device_status() == 2);
  CHECK(printer.printer_status() == 3);
  CHECK(printer.errors() == bits(0, 0));
  CHECK(printer.all_events() == 0);
  CHECK_FALSE(printer.has_alert(1));
  CHECK(printer.text("1.3.6.1.2.1.43.16.5.1.2.1.1") == "Ready");
}

TEST_CASE("a jam is critical: down, other, the jammed bit, a row, both counters") {
  Printer printer("tarnwick-m210");
  printer.does("jam 1");
  // RFC 3805 2.2.13.2, Critical Alert Active; hrPrinterDetectedErrorState jammed(5).
  CHECK(printer.device_status() == 5);
  CHECK(printer.printer_status() == 1);
  CHECK(printer.errors() == bits(0x04, 0));
  CHECK(printer.all_events() == 1);
  CHECK(printer.critical_events() == 1);
  CHECK(printer.alert(2, 1) == 3);  // critical
  CHECK(printer.alert(3, 1) == 3);  // untrained
  CHECK(printer.alert(4, 1) == 8);  // input
  CHECK(printer.alert(5, 1) == 1);
  CHECK(printer.alert(7, 1) == 8);  // jam
  printer.does("unjam");
  CHECK_FALSE(printer.has_alert(1));
  CHECK(printer.device_status() == 2);
  CHECK(printer.all_events() == 1);  // counts additions only
}

TEST_CASE("a tray that jams while it is low reads 27, the RFC's own example") {
  Printer printer("tarnwick-m210");
  printer.does("load 1 20");
  CHECK(printer.number(kInputStatus1) == 8);
  CHECK(printer.errors() == bits(0x80, 0));  // lowPaper(0)
  CHECK(printer.device_status() == 3);
  printer.does("jam 1");
  CHECK(printer.number(kInputStatus1) == 27);
}

TEST_CASE("an empty tray only warns while another tray has paper, and stops the printer when none has") {
  Printer printer("tarnwick-m210");
  printer.does("load 2 empty");
  CHECK(printer.device_status() == 3);
  CHECK(printer.printer_status() == 3);
  CHECK(printer.errors() == bits(0, 0x04));  // inputTrayEmpty(13)
  CHECK(printer.alert(2, 1) == 5);
  CHECK(printer.alert(7, 1) == 13);  // subunitEmpty
  printer.does("load 1 empty");
  CHECK(printer.device_status() == 5);
  CHECK(printer.errors() == bits(0x40, 0x04));  // and noPaper(1)
  CHECK(printer.number(kInputStatus2) == 19);
  // The warning became critical: another severity, so another row under a new index.
  CHECK_FALSE(printer.has_alert(1));
  CHECK(printer.all_events() == 3);
  CHECK(printer.critical_events() == 2);
}

TEST_CASE("a tray pulled out has no level to tell") {
  Printer printer("tarnwick-m210");
  printer.does("pull 2");
  CHECK(printer.number("1.3.6.1.2.1.43.8.2.1.10.1.2") == -2);
  CHECK(printer.errors() == bits(0, 0x80));   // inputTrayMissing(8)
  CHECK(printer.alert(7, 1) == 9);            // subunitMissing
  CHECK(printer.number(kInputStatus2) == 9);  // on request + non-critical
  printer.does("insert 2");
  CHECK(printer.number("1.3.6.1.2.1.43.8.2.1.10.1.2") == 500);
}

TEST_CASE("covers and interlocks tell their own status and code") {
  Printer printer("tarnwick-m210");
  CHECK(printer.number("1.3.6.1.2.1.43.6.1.1.3.1.1") == 4);
  CHECK(printer.number("1.3.6.1.2.1.43.6.1.1.3.1.2") == 6);
  printer.does("open 1");
  printer.does("open 2");
  CHECK(printer.number("1.3.6.1.2.1.43.6.1.1.3.1.1") == 3);
  CHECK(printer.number("1.3.6.1.2.1.43.6.1.1.3.1.2") == 5);
  CHECK(printer.alert(7, 1) == 3);
  CHECK(printer.alert(7, 2) == 5);
  CHECK(printer.errors() == bits(0x08, 0));  // doorOpen(4)
}

TEST_CASE("toner low and empty speak in the codes the model prefers") {
  for (const auto& [model, low, empty] :
       {std::tuple{"tarnwick-m210", 12, 13}, std::tuple{"lumenveld-c55", 1104, 1101}}) {
    Printer printer(model);
    printer.does("level 1 9");
    CHECK(printer.alert(7, 1) == low);
    CHECK(printer.alert(2, 1) == 5);
    CHECK(printer.errors() == bits(0x20, 0));  // lowToner(2)
    printer.does("level 1 0");
    CHECK(printer.alert(7, 2) == empty);
    CHECK(printer.alert(2, 2) == 3);
    CHECK(printer.errors() == bits(0x10, 0));  // noToner(3)
    printer.does("replace 1");
    CHECK(printer.errors() == bits(0, 0));
    CHECK(printer.all_events() == 2);
  }
}

TEST_CASE("a receptacle's level is the room left") {
  Printer printer("lumenveld-c55");
  printer.does("level 5 7");
  CHECK(printer.number("1.3.6.1.2.1.43.11.1.1.4.1.5") == 4);  // receptacleThatIsFilled
  CHECK(printer.number("1.3.6.1.2.1.43.11.1.1.9.1.5") == 7);
  CHECK(printer.alert(7, 1) == 1107);  // markerWasteTonerReceptacleAlmostFull
}

TEST_CASE("off line is down and other with the offline bit, and every sub-unit says so") {
  Printer printer("tarnwick-m210");
  printer.does("offline");
  CHECK(printer.device_status() == 5);
  CHECK(printer.printer_status() == 1);
  CHECK(printer.errors() == bits(0x02, 0));
  CHECK(printer.number(kInputStatus1) == 32);
  printer.does("online");
  CHECK(printer.device_status() == 2);
}

TEST_CASE("pages are printed at the rate asked for, and use paper and toner") {
  Printer printer("tarnwick-m210", {.pages = 1000, .rate = 30});
  printer.after(1min);
  CHECK(printer.printer_status() == 4);
  CHECK(printer.pages() == 1030);
  CHECK(printer.number("1.3.6.1.2.1.43.10.2.1.5.1.1") == 30);
  CHECK(printer.number("1.3.6.1.2.1.43.8.2.1.10.1.1") == 220);
  CHECK(printer.number("1.3.6.1.2.1.43.11.1.1.9.1.1") == 1188);  // 1200 tenths of grams, 3000 pages
  printer.does("open 1");
  printer.after(2min);
  CHECK(printer.pages() == 1030);
  printer.does("close 1");
  printer.after(3min);
  CHECK(printer.pages() == 1060);
}

TEST_CASE("when a tray runs out the next one feeds, and at the end somebody refills if the fleet says so") {
  Printer printer("tarnwick-m210", {.rate = 60, .tended_ms = 60'000});
  printer.does("load 1 10");
  printer.does("load 2 5");
  printer.after(15s);
  CHECK(printer.pages() == 15);
  CHECK(printer.device_status() == 5);
  printer.after(69s);
  CHECK(printer.pages() == 15);
  printer.after(71s);
  CHECK(printer.pages() == 16);  // tended 60 s after the first tray ran out, the next page a second later
}

TEST_CASE("switching on starts sysUpTime and the alert counters anew, and what is still wrong is alert 1") {
  Printer printer("tarnwick-m210", {.up_ms = 3'600'000});
  printer.does("open 1");
  printer.does("close 1");
  printer.does("jam 1");
  printer.after(10s);
  CHECK(printer.uptime() == 361'000);
  CHECK(printer.alert(1, 2) == 2);
  CHECK(printer.alert(9, 2) == 360'000);
  printer.does("off");
  CHECK(printer.device().manners().off);
  printer.after(20s);
  printer.does("on");
  printer.after(25s);
  CHECK_FALSE(printer.device().manners().off);
  CHECK(printer.uptime() == 500);
  CHECK(printer.all_events() == 1);
  CHECK(printer.alert(7, 1) == 8);
  CHECK(printer.alert(9, 1) == 0);
}

TEST_CASE("a printer that warms up is moving on line until it is done") {
  Printer printer("lumenveld-c55");
  printer.does("off");
  printer.does("on");
  CHECK(printer.device_status() == 5);
  CHECK(printer.printer_status() == 5);  // RFC 3805 2.2.13.2, Moving on-line
  printer.after(19s);
  CHECK(printer.printer_status() == 5);
  printer.after(20s);
  CHECK(printer.device_status() == 2);
  CHECK(printer.printer_status() == 3);
}

TEST_CASE("a full alert table drops unary warnings first, then states, which return under a new index") {
  // The label printer's table has four rows; RFC 3805 section 2.2.13.4 gives the order.
  Printer printer("ottermark-l4");
  const auto row = [&](int index) {
    return printer.raw("1.3.6.1.2.1.43.18.1.1.7.3." + std::to_string(index)).has_value();
  };
  printer.does("alert warning generalPrinter 1 0 subunitNearLimit untrained");                    // 1, unary
  printer.does("alert warningBinaryChangeEvent generalPrinter 1 0 subunitPowerSaver untrained");  // 2
  printer.does("open 1");                                                                         // 3, critical
  printer.does("level 1 5");                                                                      // 4
  CHECK((row(1) && row(2) && row(3) && row(4)));
  printer.does("jam 1");  // 5 pushes out the unary one
  CHECK_FALSE(row(1));
  printer.does("break marker:1");  // 6 pushes out the oldest state that is not critical
  CHECK_FALSE(row(2));
  CHECK((row(3) && row(4) && row(5) && row(6)));
  printer.does("unjam");  // room again: what was pushed out and still holds returns as 7
  CHECK_FALSE(row(5));
  CHECK(row(7));
  CHECK(printer.number("1.3.6.1.2.1.43.18.1.1.7.3.7") == 23);
  CHECK_FALSE(row(8));
}

TEST_CASE("time lines happen at their times and repeat") {
  Printer printer("tarnwick-m210", {}, {{10s, "open 1"}, {20s, "close 1"}}, 60s);
  const auto open = [&] { return printer.number("1.3.6.1.2.1.43.6.1.1.3.1.1") == 3; };
  printer.after(9s);
  CHECK_FALSE(open());
  printer.after(10s);
  CHECK(open());
  printer.after(20s);
  CHECK_FALSE(open());
  printer.after(69s);
  CHECK_FALSE(open());
  printer.after(70s);
  CHECK(open());
  printer.after(600s);
  CHECK(printer.all_events() == 10);
}

TEST_CASE("media is configuration, levels are not") {
  Printer printer("tarnwick-m210");
  const auto changes = [&] { return printer.number("1.3.6.1.2.1.43.5.1.1.1.1"); };
  printer.does("load 1 100");
  printer.does("level 1 50");
  printer.does("jam 1");
  CHECK(changes() == 0);
  printer.does("media 1 iso_a5_148x210mm");
  CHECK(changes() == 1);
  CHECK(printer.text("1.3.6.1.2.1.43.8.2.1.12.1.1") == "iso_a5_148x210mm");
}

TEST_CASE("a panel speaks its language in its charset") {
  Printer printer("lumenveld-c32");
  CHECK(printer.number("1.3.6.1.2.1.43.7.1.1.4.1.1") == 4);  // csISOLatin1
  printer.does("open 1");
  CHECK(printer.text("1.3.6.1.2.1.43.18.1.1.8.1.1") ==
        "Vordere Abdeckung schlie\xDF"
        "en");
  CHECK(printer.text("1.3.6.1.2.1.43.11.1.1.6.1.2") == "Toner T\xFCrkis LV-32C");
  printer.does("console 1 Grüße");
  CHECK(printer.text("1.3.6.1.2.1.43.16.5.1.2.1.1") ==
        "Gr\xFC\xDF"
        "e");
}

TEST_CASE("objects can be set and hidden on one device") {
  Printer printer("tarnwick-m210");
  printer.does("set 1.3.6.1.2.1.43.11.1.1.9.1.1 integer -3");
  CHECK(printer.number("1.3.6.1.2.1.43.11.1.1.9.1.1") == -3);
  printer.does("unset 1.3.6.1.2.1.43.11.1.1.9.1.1");
  CHECK(printer.number("1.3.6.1.2.1.43.11.1.1.9.1.1") == 1200);
  printer.does("hide 1.3.6.1.2.1.43.18");
  printer.does("jam 1");
  CHECK_FALSE(printer.has_alert(1));
  CHECK(printer.device_status() == 5);
}

TEST_CASE("an event for a part the model lacks, or in wrong words, is refused with what is allowed") {
  const auto model = load_model(std::string(FRISKET_TESTS_DIR) + "/simfleet/models/ottermark-l4.toml");
  const auto refusal = [&](const char* line) {
    const auto parsed = parse_event(line, *model);
    const auto* wrong = std::get_if<std::string>(&parsed);
    return wrong == nullptr ? std::string() : *wrong;
  };
  CHECK(refusal("open 1").empty());
  CHECK(refusal("open 2") == "open: \"2\": allowed here: rows 1 to 1 of ottermark-l4");
  CHECK(refusal("level 1 101") == "level: \"101\": allowed: full, empty, or a number from 0 to 100");
  CHECK_FALSE(refusal("open input:1").empty());
  CHECK_FALSE(refusal("console 1 hello").empty());
  CHECK_FALSE(refusal("jam").empty());
  CHECK_FALSE(refusal("off now").empty());
  CHECK_FALSE(refusal("explode").empty());
  CHECK_FALSE(refusal("").empty());
}
