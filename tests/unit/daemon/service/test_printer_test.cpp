// Which way a test page goes, whom it is refused to, and what it proves: with a raw port on the loopback.
#include "daemon/service/test_printer.h"

#include <boost/asio/as_tuple.hpp>
#include <boost/asio/buffer.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/read.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <catch2/catch.hpp>

#include "daemon/service/test_page_ways.h"
#include "pending.h"

namespace asio = boost::asio;
using namespace std::chrono_literals;
using namespace frisket;
using namespace frisket::service;
using asio::ip::tcp;
using Catch::Matchers::Contains;
using frisket::testing::run_until;
using http::TestPrint;
using http::TestPrintOutcome;
using http::TestVerdict;

namespace {

config::Config garden() {
  config::Config config;
  config.sites = {{"glasshouse", "Europe/Dublin"}};
  for (const auto* name : {"herbarium-copier", "library-copier"}) {
    config::Device device;
    device.name = name;
    device.address = "127.0.0.1";
    device.site = "glasshouse";
    config.devices.push_back(device);
  }
  return config;
}

// A daemon's part that prints, in real time, and a printer that is nothing but a raw port.
struct World {
  World() {
    config.devices[0].raw_port = acceptor.local_endpoint().port();
    asio::co_spawn(context, take(), asio::detached);
  }

  asio::awaitable<void> take() {
    auto [error, socket] = co_await acceptor.async_accept(asio::as_tuple(asio::use_awaitable));
    if (error) co_return;
    std::string page;
    co_await asio::async_read(socket, asio::dynamic_buffer(page), asio::as_tuple(asio::use_awaitable));
    taken = std::move(page);
    ++impressions;
  }

  // One poll of the device, done at once.
  void read(const model::DeviceSnapshot& snapshot) {
    model::DeviceReading reading;
    reading.device = "herbarium-copier";
    reading.at = clock.wall_now();
    reading.reach = model::Reach::answered;
    reading.snapshot = std::make_shared<const model::DeviceSnapshot>(snapshot);
    correlator.apply(reading);
  }
  model::DeviceSnapshot counted() const {
    model::DeviceSnapshot snapshot;
    snapshot.host.device = model::HostDeviceStatus::running;
    snapshot.host.printer = model::HostPrinterStatus::idle;
    snapshot.host.errors = model::ErrorBits{};
    model::Marker marker;
    marker.index = 1;
    marker.life_count = impressions;
    snapshot.markers = {marker};
    return snapshot;
  }

  model::Result<TestPrintOutcome> asked(TestPrint what) {
    std::optional<model::Result<TestPrintOutcome>> outcome;
    printer.print(config, std::move(what), [&](const auto& result) { outcome = result; });
    run_until(context, [&] { return outcome.has_value(); });
    return *outcome;
  }
  std::string refused(TestPrint what) {
    const auto outcome = asked(std::move(what));
    REQUIRE_FALSE(outcome);
    CHECK(outcome.error().kind == model::Error::Kind::invalid);
    return outcome.error().what;
  }

  asio::io_context context;
  SystemClock clock;
  tcp::acceptor acceptor{context, {asio::ip::address_v4::loopback(), 0}};
  config::Config config = garden();
  incidents::Correlator correlator{config};
  ipp::Transport transport{context.get_executor(), clock};
  std::uint32_t impressions = 100;
  bool is_polled = true;
  std::optional<std::string> taken;
  std::vector<TestPrintOutcome> told;
  TestPrinter printer{context.get_executor(),
                      clock,
                      transport,
                      correlator,
                      [this](const std::string& device) {
                        CHECK(device == "herbarium-copier");
                        if (is_polled) read(counted());
                        return is_polled;
                      },
                      [this](const TestPrintOutcome& outcome) { told.push_back(outcome); }};
};

std::vector<std::string> ways_of(const config::Config& config) {
  asio::io_context context;
  SystemClock clock;
  ipp::Transport transport{context.get_executor(), clock};
  std::vector<std::string> found;
  for (const auto& way : ways_to(config, config.devices[0], transport, clock))
    found.push_back(std::string(to_text(way->kind())) + " " + way->queue() + " " + way->to());
  return found;
}

}  // namespace

TEST_CASE("a page goes to the device's own service before its queues, and to its raw port last") {
  auto config = garden();
  CHECK(ways_of(config).empty());
  config.devices[0].raw_port = 9100;
  config::Queue queue;
  queue.name = "herbarium";
  queue.target = model::ipp_target_of("ipp://localhost/printers/herbarium").value();
  queue.device = "herbarium-copier";
  auto other = queue;
  other.name = "library";
  other.device = "library-copier";
  config.queues = {other, queue};
  config.devices[0].ipp = model::ipp_target_of("ipp://127.0.0.1/ipp/print").value();
  CHECK(ways_of(config) == std::vector<std::string>{"own-service  ipp://127.0.0.1/ipp/print",
                                                    "queue herbarium ipp://localhost/printers/herbarium",
                                                    "raw-port  127.0.0.1 port 9100"});
}

TEST_CASE("a page on a raw port is plain text with the device, the time and the incident, and ends with a form feed") {
  World world;
  world.is_polled = false;
  const auto outcome = world.asked({"herbarium-copier", "", false, "", ""});
  REQUIRE(outcome);
  CHECK(outcome->verdict == TestVerdict::completed_uncounted);
  CHECK(outcome->format == "text/plain");
  CHECK_FALSE(outcome->job);
  REQUIRE(world.taken);
  CHECK_THAT(*world.taken, Contains("herbarium-copier") && Contains(outcome->page_id) && Contains("Europe/Dublin"));
  CHECK(world.taken->ends_with("\f"));
  CHECK_THAT(outcome->said, Contains("The printer took the page") && Contains("Look whether it is there"));
  REQUIRE(world.told.size() == 1);
  CHECK(world.told[0].page_id == outcome->page_id);
}

TEST_CASE("a printed page is the proof that the fix of a jam holds, and the answer names it") {
  World world;
  auto jammed = world.counted();
  jammed.host.errors = model::ErrorBits::decode("\x04");  // jammed (RFC 2790 hrPrinterDetectedErrorState)
  world.read(jammed);
  world.read(world.counted());
  const auto& correlator = world.correlator;
  REQUIRE(correlator.incidents().size() == 1);
  const auto id = correlator.incidents()[0]->id;
  REQUIRE(correlator.incident(id)->proof == incidents::Proof::awaited);

  const auto outcome = world.asked({"herbarium-copier", id, false, "", ""});
  REQUIRE(outcome);
  CHECK(outcome->verdict == TestVerdict::printed);
  CHECK(outcome->impressions_before == 100);
  CHECK(outcome->impressions_after == 101);
  CHECK(outcome->proved == std::vector<std::string>{id});
  CHECK_THAT(outcome->said, Contains("It is the proof that the fix holds of " + id));
  CHECK(correlator.incident(id)->proof == incidents::Proof::held);
  CHECK_THAT(*world.taken, Contains(id));
}

TEST_CASE("a page is refused where it cannot be, with the reason, and nothing is sent") {
  World world;
  CHECK_THAT(world.refused({"library-copier", "", false, "", ""}),
             Contains("no way to print on this device is configured"));
  CHECK(world.refused({"orangery", "", false, "", ""}) == "no device of this name is configured");
  CHECK(world.refused({"herbarium-copier", "0rk3v5t8", false, "", ""}) == "no incident with this id is known");
  auto jammed = world.counted();
  jammed.host.errors = model::ErrorBits::decode("\x04");
  world.read(jammed);
  const auto id = world.correlator.incidents().at(0)->id;
  world.config.devices[1].raw_port = world.config.devices[0].raw_port;
  CHECK(world.refused({"library-copier", id, true, "", ""}) == "the incident is not about this device");
  CHECK_FALSE(world.taken);
  CHECK(world.told.empty());
}

TEST_CASE(
    "one page of a device is followed at a time, a dry run does not count, and a page that is stopped is told of") {
  World world;
  world.is_polled = false;
  std::vector<model::Result<TestPrintOutcome>> first;
  world.printer.print(world.config, {"herbarium-copier", "", false, "", ""},
                      [&](const auto& result) { first.push_back(result); });
  CHECK_THAT(world.refused({"herbarium-copier", "", false, "", ""}), Contains("is being followed already"));
  const auto dry = world.asked({"herbarium-copier", "", true, "", ""});
  REQUIRE(dry);
  CHECK_FALSE(dry->verdict);
  world.printer.stop();
  CHECK_THAT(world.refused({"herbarium-copier", "", true, "", ""}), Contains("stopping"));
  run_until(world.context, [&] { return world.printer.running() == 0; });
  REQUIRE(first.size() == 1);
  CHECK(world.told.size() == 1);
}

TEST_CASE("a raw port where nobody listens has not taken the page") {
  World world;
  world.acceptor.close();
  const auto outcome = world.asked({"herbarium-copier", "", false, "", ""});
  REQUIRE(outcome);
  CHECK(outcome->verdict == TestVerdict::not_taken);
}
