// The rate in simulated time, with real sockets on loopback. Addresses of 127.0.0.0/8 at which nobody
// listens are silent.
#include "probes/discovery/scan.h"

#include <catch2/catch.hpp>

#include "probes/snmp/printer_mib.h"
#include "scripted_agent.h"
#include "talking.h"

namespace frisket::discovery {
namespace {

using namespace frisket::testing;
namespace mib = snmp::mib;

struct Scanning : Talking {
  Targets targets;
  std::unique_ptr<Scan> scan;
  std::vector<Tally> seen;
  bool ended = false;

  ~Scanning() {
    scan->stop();
    clock.settle();
  }

  void begin(const std::vector<std::string>& ranges, Settings settings, std::uint16_t port) {
    targets = *Targets::parse(ranges);
    settings.port = port;
    network.configure(Scan::polling(settings));
    scan = std::make_unique<Scan>(context.get_executor(), network, clock, targets, settings,
                                  [this](const Tally& tally) { seen.push_back(tally); });
    boost::asio::co_spawn(context, scan->run(), [this](const std::exception_ptr& what) {
      if (what) std::rethrow_exception(what);
      ended = true;
    });
    clock.settle();
  }

  std::uint64_t sent() { return count("sent") + count("retransmitted"); }

  // What is found at the only address, which answers at once.
  Found only_found() {
    until([&] { return ended; });
    REQUIRE(scan->found().size() == 1);
    return scan->found()[0];
  }
};

Settings rate(int rate, std::size_t credentials = 1) {
  Settings settings;
  settings.rate = rate;
  for (std::size_t i = 0; i < credentials; ++i) settings.credentials.push_back(community("garden" + std::to_string(i)));
  return settings;
}

// A port of loopback at which nobody listens; held, but never read from.
struct Nobody {
  boost::asio::io_context context;
  boost::asio::ip::udp::socket socket{context, {boost::asio::ip::make_address("127.0.0.1"), 0}};
  std::uint16_t port() const { return socket.local_endpoint().port(); }
};

TEST_CASE("silent addresses are asked one after the other at the rate, repetitions included") {
  Nobody nobody;
  Scanning scanning;
  scanning.begin({"127.30.0.0/28"}, rate(10), nobody.port());  // 14 addresses, 2 attempts of 1.5 s
  CHECK(scanning.sent() == 1);
  for (std::uint64_t turn = 2; turn <= 14; ++turn) {
    scanning.clock.advance(99ms);
    CHECK(scanning.sent() == turn - 1);
    scanning.clock.advance(1ms);
    CHECK(scanning.sent() == turn);
  }
  // The first is silent for the first time at 1.5 s; its turn comes at once, the others' 100 ms apart.
  scanning.clock.advance(199ms);
  CHECK(scanning.sent() == 14);
  for (std::uint64_t turn = 15; turn <= 28; ++turn) {
    scanning.clock.advance(turn == 15 ? 1ms : 100ms);
    CHECK(scanning.sent() == turn);
    CHECK(scanning.scan->tally().asked == 14);
  }
  CHECK(scanning.scan->tally().silent == 0);
  CHECK_FALSE(scanning.ended);
  scanning.clock.advance(1500ms);
  CHECK(scanning.ended);
  CHECK(scanning.sent() == 28);
  CHECK(scanning.scan->tally().silent == 14);
  CHECK(scanning.scan->tally().answered == 0);
  CHECK(scanning.seen.size() == 14);
}

TEST_CASE("each credential is a request of its own, and counts") {
  Nobody nobody;
  Scanning scanning;
  scanning.begin({"127.30.0.0/28"}, rate(10, 2), nobody.port());
  CHECK(scanning.sent() == 2);
  scanning.clock.advance(199ms);
  CHECK(scanning.sent() == 2);
  scanning.clock.advance(1ms);
  CHECK(scanning.sent() == 4);
  scanning.clock.advance(10s);
  CHECK(scanning.ended);
  CHECK(scanning.sent() == 2 * 2 * 14);
}

snmp::Oid cell(const mib::Object& object, std::uint32_t index) { return snmp::Oid(object.oid()).append(index); }

const mib::Object& sys_descr = mib::object_of(mib::scalar::sys_descr);

TEST_CASE("what is sent to read an agent puts off the next question by as much") {
  Scanning scanning;
  ScriptedAgent agent(scanning.context, "garden0");
  agent.set(cell(sys_descr, 0), snmp::Octets{"Potting shed switch"});
  auto settings = rate(10);
  settings.attempts = 1;
  scanning.begin({"127.0.0.1/32", "127.30.0.2", "127.30.0.3"}, settings, agent.endpoint().port());
  scanning.until([&] { return scanning.scan->found().size() == 1; });
  const auto read = scanning.sent() - 1;
  CHECK(read == agent.asked().size() - 1);
  REQUIRE(read > 0);
  scanning.clock.advance(99ms + read * 100ms);
  CHECK(scanning.sent() == 1 + read);
  scanning.clock.advance(1ms);
  CHECK(scanning.sent() == 2 + read);
  scanning.clock.advance(99ms);
  CHECK(scanning.sent() == 2 + read);
  scanning.clock.advance(1ms);
  CHECK(scanning.sent() == 3 + read);
  CHECK(scanning.scan->found()[0].kind == Kind::other);
  CHECK(scanning.scan->found()[0].description == "Potting shed switch");
}

TEST_CASE("an agent with a row of hrDevicePrinter, wherever it is, is a printer (RFC 2790)") {
  Scanning scanning;
  ScriptedAgent agent(scanning.context, "garden0");
  const snmp::Oid processor{1, 3, 6, 1, 2, 1, 25, 3, 1, 3};
  agent.set(cell(mib::hr_device_type, 1), processor);
  agent.set(cell(mib::hr_device_type, 7), snmp::Oid(mib::hr_device_printer.oid()));
  agent.set(cell(mib::object_of(mib::scalar::hr_device_descr), 1), snmp::Octets{"Controller board"});
  agent.set(cell(mib::object_of(mib::scalar::hr_device_descr), 7), snmp::Octets{"Quillon LX 4100"});
  scanning.begin({"127.0.0.1"}, rate(10), agent.endpoint().port());
  const auto found = scanning.only_found();
  CHECK(found.kind == Kind::printer);
  REQUIRE(found.rows.size() == 1);
  CHECK(found.rows[0] == PrinterRow{7, "Quillon LX 4100", "", "", false});
  CHECK(identity_of(found).maker == "Quillon");
  CHECK(identity_of(found).model == "LX 4100");
  CHECK(scanning.scan->tally().printers == 1);
}

TEST_CASE("an agent with rows of prtGeneralTable is as many printers (RFC 3805)") {
  Scanning scanning;
  ScriptedAgent agent(scanning.context, "garden0");
  for (const std::uint32_t index : {1, 2}) {
    agent.set(cell(mib::object_of(mib::scalar::prt_general_config_changes), index), snmp::Counter32{4});
    agent.set(cell(mib::object_of(mib::scalar::prt_general_serial_number), index),
              snmp::Octets{"QX-" + std::to_string(index)});
    agent.set(snmp::Oid{1, 3, 6, 1, 2, 1, 43, 10, 2, 1, 6, index, 1}, snmp::Integer{index == 1 ? 4 : 1});
  }
  scanning.begin({"127.0.0.1"}, rate(10), agent.endpoint().port());
  const auto found = scanning.only_found();
  CHECK(found.kind == Kind::printer);
  REQUIRE(found.rows.size() == 2);
  CHECK(found.rows[1] == PrinterRow{2, "", "", "QX-2", true});
  CHECK(identity_of(found).serial == "QX-1");
  CHECK(found.process_colorants == 4);
}

TEST_CASE("the credential that works is remembered") {
  Scanning scanning;
  ScriptedAgent agent(scanning.context, "garden1");
  agent.set(cell(sys_descr, 0), snmp::Octets{"Potting shed switch"});
  scanning.begin({"127.0.0.1"}, rate(10, 3), agent.endpoint().port());
  CHECK(scanning.only_found().credential == 1);
}

TEST_CASE("an agent that refuses is said to, and is not asked again") {
  Scanning scanning;
  ScriptedAgent agent(scanning.context);
  agent.script([](const auto& asked) {
    return ScriptedAgent::answer(asked, {{asked.names[0], snmp::Null{}}}, simfleet::ErrorStatus{16}, 1);
  });
  scanning.begin({"127.0.0.1"}, rate(10), agent.endpoint().port());
  CHECK(scanning.only_found().kind == Kind::refused);
  CHECK(agent.asked().size() == 1);
}

TEST_CASE("what answers with something else than SNMP is nonsense after all attempts") {
  Scanning scanning;
  ScriptedAgent agent(scanning.context);
  agent.script([](const auto&) { return std::string("HTTP/1.1 400 Bad Request"); });
  scanning.begin({"127.0.0.1"}, rate(10), agent.endpoint().port());
  for (std::uint64_t attempt = 1; attempt <= 2; ++attempt) {
    scanning.until([&] { return scanning.count("dropped_malformed") == attempt; });
    scanning.clock.advance(1500ms);
  }
  CHECK(scanning.only_found().kind == Kind::nonsense);
  CHECK(agent.asked().size() == 2);
  CHECK(scanning.scan->tally().silent == 0);
}

TEST_CASE("an agent that falls silent while it is read is kept for what is known") {
  Scanning scanning;
  ScriptedAgent agent(scanning.context, "garden0");
  agent.set(cell(mib::object_of(mib::scalar::prt_general_config_changes), 1), snmp::Counter32{4});
  agent.set(cell(mib::object_of(mib::scalar::prt_general_serial_number), 1), snmp::Octets{"QX-1"});
  agent.script([&agent](const auto& asked) {
    const bool general = snmp::starts_with(asked.names[0], snmp::Oid{1, 3, 6, 1, 2, 1, 43, 5});
    const bool first = snmp::starts_with(asked.names[0], sys_descr.oid()) && asked.names.size() == 1;
    return general || first ? agent.serve(asked) : std::string{};
  });
  scanning.begin({"127.0.0.1"}, rate(10), agent.endpoint().port());
  scanning.until([&] { return agent.asked().size() >= 2; });
  for (int second = 0; second < 120 && !scanning.ended; ++second) {
    scanning.clock.advance(1s);
    for (int turn = 0; turn < 5; ++turn) scanning.context.run_one_for(1ms);
  }
  const auto found = scanning.only_found();
  CHECK(found.kind == Kind::printer);
  CHECK(identity_of(found).serial == "QX-1");
}

TEST_CASE("stopping ends the scan at once with what was found, and calls nobody silent who was not") {
  Nobody nobody;
  Scanning scanning;
  scanning.begin({"127.30.0.0/24"}, rate(10), nobody.port());
  scanning.clock.advance(4s);
  const auto silent = scanning.scan->tally().silent;
  const auto sent = scanning.sent();
  scanning.scan->stop();
  scanning.clock.settle();
  CHECK(scanning.ended);
  CHECK(scanning.scan->tally().silent == silent);
  CHECK(scanning.scan->tally().done() < scanning.scan->tally().asked);
  scanning.clock.advance(10s);
  CHECK(scanning.sent() == sent);
}

}  // namespace
}  // namespace frisket::discovery
