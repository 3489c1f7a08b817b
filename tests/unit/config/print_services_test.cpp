// [[spooler]], [[queue]] and a device's own print service.
#include <catch2/catch.hpp>

#include "fixture.h"

namespace frisket::config {
namespace {

using Catch::Matchers::Contains;
using namespace std::chrono_literals;
using Scheme = model::IppCredentials::Scheme;

const std::string kSpooler = "[[spooler]]\nname = \"office\"\nuri = \"ipp://localhost/\"\n";

std::string queue(const std::string& name, const std::string& uri, const std::string& more = "") {
  return "[[queue]]\nname = \"" + name + "\"\nuri = \"" + uri + "\"\n" + more;
}

TEST_CASE("a spooler and a queue behind it need no more than a name and a URI where there is one site") {
  const Garden garden;
  const auto loaded = garden.load(kGarden + kSpooler + queue("seeds", "ipp://localhost/printers/seeds"));
  for (const auto& finding : loaded.findings) UNSCOPED_INFO(finding.text());
  REQUIRE(loaded.findings.empty());
  REQUIRE(loaded.config.spoolers.size() == 1);
  REQUIRE(loaded.config.queues.size() == 1);
  const auto& spooler = loaded.config.spoolers[0];
  CHECK(spooler.target.host == "localhost");
  CHECK(spooler.target.port == 631);  // RFC 8010 section 5
  CHECK(spooler.site == loaded.config.sites[0].name);
  CHECK(spooler.all_queues);
  CHECK(spooler_of(loaded.config.queues[0], loaded.config.spoolers) == &spooler);
  CHECK(loaded.config.queues[0].target.path == "/printers/seeds");
  CHECK(loaded.config.queues[0].automatic.kinds.empty());
}

TEST_CASE("a queue at its spooler is asked as the spooler is, unless it says otherwise") {
  const Garden garden;
  const auto loaded = garden.load(
      kGarden +
      "[[spooler]]\nname = \"office\"\nuri = \"ipp://localhost/\"\nsocket = \"run/ipp.sock\"\nuser = \"frisket\"\n" +
      queue("seeds", "ipp://localhost/printers/seeds"));
  REQUIRE(loaded.ok());
  const auto& target = loaded.config.queues[0].target;
  CHECK(target.socket == loaded.config.spoolers[0].target.socket);
  CHECK_FALSE(target.socket.empty());
  CHECK(target.credentials.scheme == Scheme::peer);
  CHECK(target.credentials.user == "frisket");
}

TEST_CASE("a device may be known by IPP alone, and then needs no credentials") {
  const Garden garden;
  const auto loaded = garden.load(kGarden +
                                  "[[device]]\nname = \"lodge\"\naddress = \"192.0.2.77\"\nsite = \"glasshouse\"\nipp "
                                  "= \"ipps://192.0.2.77/ipp/print\"\n"
                                  "certificate = \"" +
                                  std::string(32, 'A') + std::string(32, '0') + "\"\n");
  for (const auto& finding : loaded.findings) UNSCOPED_INFO(finding.text());
  REQUIRE(loaded.ok());
  const auto* device = loaded.config.find_device("lodge");
  REQUIRE(device);
  REQUIRE(device->ipp);
  CHECK(device->ipp->tls);
  CHECK(device->ipp->pinned_certificate == std::string(32, 'a') + std::string(32, '0'));
  CHECK(device->credentials.empty());
}

TEST_CASE("a URI that is none, or has a password in it, is refused without the password") {
  const Garden garden;
  CHECK_THAT(garden.finding(kGarden + queue("seeds", "socket://localhost/seeds")),
             Contains("queue.uri") && Contains("scheme"));
  const auto secret = garden.finding(kGarden + queue("seeds", "ipp://localhost:nine/seeds"));
  CHECK_THAT(secret, Contains("queue.uri: found \"ipp://localhost:nine/seeds\""));
  for (const auto* scheme : {"ipp", "lpd"}) {
    const auto line =
        garden.finding(kGarden + queue("seeds", std::string(scheme) + "://moss:hollyhock@localhost/seeds"));
    CHECK_THAT(line, Contains("it contains a user or a password"));
    CHECK_THAT(line, !Contains("hollyhock"));
  }
}

TEST_CASE("a queue of an old print server is named by an lpd: URI, and can only be read") {
  const Garden garden;
  const auto loaded = garden.load(kGarden + kSpooler + queue("seeds", "lpd://print.example.org/seeds") +
                                  queue("moss", "lpd://[2001:db8::9]:1515/moss%2Ftwo"));
  for (const auto& finding : loaded.findings) UNSCOPED_INFO(finding.text());
  REQUIRE(loaded.ok());
  const auto& seeds = loaded.config.queues[0];
  REQUIRE(seeds.lpd);
  CHECK(*seeds.lpd == model::LpdTarget{"print.example.org", 515, "seeds"});
  CHECK(seeds.target.uri == "lpd://print.example.org/seeds");
  CHECK(seeds.site == "glasshouse");
  CHECK_THAT(why_read_only(seeds), Contains("LPD only"));
  const auto& moss = loaded.config.queues[1];
  REQUIRE(moss.lpd);
  CHECK(*moss.lpd == model::LpdTarget{"2001:db8::9", 1515, "moss/two"});
  CHECK(moss.target.uri == "lpd://[2001:db8::9]:1515/moss%2Ftwo");
  CHECK(why_read_only(garden.load(kGarden + queue("a", "ipp://localhost/a")).config.queues[0]).empty());

  // One that happens to be where a spooler speaks IPP is not behind it.
  const auto beside = garden.load(kGarden + kSpooler + queue("seeds", "lpd://localhost:631/seeds"));
  REQUIRE(beside.ok());
  CHECK(spooler_of(beside.config.queues[0], beside.config.spoolers) == nullptr);
}

TEST_CASE("an lpd: URI that names no queue of a server is refused, and so are the keys that mean nothing there") {
  const Garden garden;
  for (const auto* uri : {"lpd://localhost", "lpd://localhost/", "lpd://localhost/a/b", "lpd:///seeds", "lpd:seeds",
                          "lpd://localhost:0/seeds", "lpd://localhost:99999/seeds", "lpd://localhost/seeds?x=1",
                          "lpd://localhost/a%20b", "lpd://localhost/a%0Ab"})
    CHECK_THAT(garden.finding(kGarden + queue("seeds", uri)),
               Contains("queue.uri: found") && Contains("lpd://print.example.org/office"));
  for (const auto* key : {"user = \"frisket\"\n", "automatic = [\"job-stuck\"]\n"})
    CHECK_THAT(garden.finding(kGarden + queue("seeds", "lpd://localhost/seeds", key)),
               Contains("of no use with a URI that begins with lpd:"));
  CHECK_THAT(garden.finding(kGarden + queue("a", "lpd://localhost/a") + queue("b", "lpd://localhost/a")),
             Contains("a service of its own; \"a\" has it already"));
}

TEST_CASE("a password goes over TLS, to this machine or over a socket, and nowhere else") {
  const Garden garden;
  const auto rights =
      "user = \"frisket\"\npassword_file = \"" + (garden.folder.path() / "office-key").string() + "\"\n";
  CHECK_THAT(garden.finding(kGarden + queue("seeds", "ipp://192.0.2.5/printers/seeds", rights)),
             Contains("would send the password in clear"));
  CHECK(garden.load(kGarden + queue("seeds", "ipps://192.0.2.5/printers/seeds", rights)).ok());
  CHECK(garden.load(kGarden + queue("seeds", "ipp://localhost/printers/seeds", rights)).ok());
}

TEST_CASE("what does not fit together is refused") {
  const Garden garden;
  CHECK_THAT(garden.finding(kGarden + queue("seeds", "ipp://localhost/a", "device = \"nobody\"\n")),
             Contains("queue.device: found \"nobody\", allowed: the name of a [[device]]"));
  CHECK_THAT(garden.finding(kGarden + queue("a", "ipp://localhost/a") + queue("b", "ipp://localhost/a")),
             Contains("a service of its own; \"a\" has it already"));
  CHECK_THAT(garden.finding(kGarden + queue("a", "ipp://localhost/a") + queue("a", "ipp://localhost/b")),
             Contains("a name of its own"));
  CHECK_THAT(garden.finding(kGarden + queue("a", "ipp://localhost/a", "automatic = [\"media-jam\"]\n")),
             Contains("allowed: \"queue-stopped\" or \"job-stuck\""));
  CHECK_THAT(garden.finding(kGarden + queue("a", "ipp://localhost/a", "password_file = \"x\"\n")),
             Contains("of no use without user"));
  CHECK_THAT(
      garden.finding(kGarden + queue("a", "ipp://localhost/a", "certificate = \"" + std::string(64, '0') + "\"\n")),
      Contains("without a URI that begins with ipps:"));
  CHECK_THAT(garden.finding(kGarden + kSpooler + "restart_arguments = [\"now\"]\n"),
             Contains("of no use without restart_program"));
  CHECK_THAT(garden.finding(kGarden + kSpooler + "restart_program = \"/no/such\"\n"), Contains("No such file"));
}

TEST_CASE("with several sites a spooler says which one it is at") {
  const Garden garden;
  CHECK_THAT(garden.finding(kGarden + "[[site]]\nname = \"annexe\"\n" + kSpooler),
             Contains("spooler.site: missing, allowed: the name of a [[site]]"));
}

}  // namespace
}  // namespace frisket::config
