// Description files: all that are shipped load, and what is wrong is said with its place.
#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "tests/simfleet/control.h"
#include "tests/simfleet/daemon_config.h"
#include "tests/simfleet/fleet.h"
#include "tests/simfleet/labels.h"
#include "tests/simfleet/toml_reader.h"

using namespace frisket::simfleet;
namespace fs = std::filesystem;

namespace {

const fs::path kHere = fs::path(FRISKET_TESTS_DIR) / "simfleet";

class Folder {
 public:
  Folder() : path(fs::temp_directory_path() / ("simfleet-test-" + std::to_string(getpid()))) {
    fs::create_directories(path / "models");
  }
  ~Folder() { fs::remove_all(path); }
  fs::path write(const std::string& name, const std::string& text) const {
    std::ofstream(path / name) << text;
    return path / name;
  }
  fs::path path;
};

std::string read(const fs::path& file) {
  std::ifstream in(file);
  return {std::istreambuf_iterator<char>(in), {}};
}

// The error's text after the folder's name.
std::string refusal(const Folder& folder, const std::string& fleet) {
  try {
    load_fleet(folder.write("f.toml", fleet), kHere / "models");
  } catch (const FileError& error) {
    return std::string(error.what()).substr(folder.path.string().size() + 1);
  }
  return "accepted";
}

const std::string kSite = "[[site]]\nname = \"s\"\n";
const std::string kDevice =
    "[[device]]\nname = \"d\"\naddress = \"127.9.9.9\"\nsite = \"s\"\nmodel = \"tarnwick-m210\"\n";

}  // namespace

TEST_CASE("every shipped model and fleet loads") {
  int models = 0, fleets = 0;
  for (const auto& entry : fs::directory_iterator(kHere / "models")) {
    INFO(entry.path());
    CHECK_NOTHROW(load_model(entry.path()));
    ++models;
  }
  for (const auto& entry : fs::directory_iterator(kHere / "fleets")) {
    INFO(entry.path());
    CHECK_NOTHROW(load_fleet(entry.path(), kHere / "models"));
    ++fleets;
  }
  CHECK(models >= 6);
  CHECK(fleets >= 1);
}

TEST_CASE("the garden starts with the incidents its page promises") {
  auto fleet = load_fleet(kHere / "fleets/garden.toml", kHere / "models");
  CHECK(fleet.devices.size() == 14);
  CHECK(fleet.sites.size() == 2);
  const auto state = [&](const char* name) { return fleet.by_name.at(name)->summary(); };
  CHECK(state("palm-house-office").find("hrDeviceStatus=5 hrPrinterStatus=1 errors=0400") !=
        std::string::npos);                                                   // a jam
  CHECK(state("herbarium-copier").find("errors=0004") != std::string::npos);  // tray 2 empty
  CHECK(state("library-desk").find("errors=0000") != std::string::npos);      // one octet: tray missing does not show
  CHECK(state("library-stacks").find("errors=2000") != std::string::npos);    // toner at 4 %
  CHECK(state("directors-office").starts_with("off"));
}

TEST_CASE("ten times its repeat later the garden is as it was, as far as its time lines go") {
  auto fleet = load_fleet(kHere / "fleets/garden.toml", kHere / "models");
  fleet.advance_to(std::chrono::minutes(100));
  CHECK(fleet.by_name.at("palm-house-office")->summary().find("errors=0400") != std::string::npos);
  CHECK(fleet.by_name.at("directors-office")->manners().off);
}

TEST_CASE("what is wrong in a fleet file is said with file, line and column") {
  const Folder folder;
  CHECK(refusal(folder, kSite + kDevice) == "accepted");
  CHECK(refusal(folder, kSite + kDevice + "colour = \"red\"\n") == "f.toml:8:10: unknown key colour");
  CHECK(refusal(folder, kSite + kDevice + "start = [\"open 3\"]\n") ==
        "f.toml:8:9: open: \"3\": allowed here: rows 1 to 2 of tarnwick-m210");
  CHECK(refusal(folder, kDevice) == "f.toml:1:1: site: no [[site]] named \"s\"");
  CHECK(refusal(folder, kSite + kDevice + kDevice) == "f.toml:8:1: a second device named \"d\"");
  CHECK(refusal(folder, kSite) == "f.toml:1:1: a fleet needs at least one [[device]]");
  CHECK(refusal(folder, kSite + "[[device]]\nname = \"d\"\nmodel = \"tarnwick-m210\"\naddress = \"192.0.2.1\"\n") ==
        "f.toml:6:11: address: allowed: an address in 127.0.0.0/8");
  CHECK(refusal(folder, kSite + kDevice + "repeat = \"5s\"\ntime_line = [{ at = \"+10s\", do = \"off\" }]\n") ==
        "f.toml:8:10: repeat: allowed: at least the last event's time");
  CHECK(refusal(folder, "community = ").starts_with("f.toml:1:"));
}

TEST_CASE("bulk devices differ, are the same for one seed, and fail in the shares asked for") {
  Bulk bulk;
  bulk.count = 2000;
  bulk.base = parse_loopback("127.16.0.1").value();
  bulk.models = {kHere / "models/tarnwick-m210.toml"};
  bulk.dead = 0.03;
  bulk.garbage = 0.02;
  bulk.loss = 0.05;
  const auto fleet = make_fleet(bulk);
  const auto again = make_fleet(bulk);
  int off = 0, garbage = 0;
  for (std::size_t i = 0; i < fleet.devices.size(); ++i) {
    const auto& manners = fleet.devices[i]->manners();
    off += manners.off;
    garbage += manners.fault == Fault::garbage;
    CHECK(manners.loss == Approx(0.05));
    CHECK((fleet.devices[i]->identity().address & 0xFF) % 255 != 0);
    REQUIRE(fleet.devices[i]->summary() == again.devices[i]->summary());
  }
  CHECK(fleet.by_address.size() == 2000);
  // 60 and 40 expected; three standard deviations are 23 and 19.
  CHECK(std::abs(off - 60) < 24);
  CHECK(std::abs(garbage - 40) < 20);
  CHECK(fleet.devices[0]->summary() != fleet.devices[1]->summary());
}

TEST_CASE("the written configuration names every device and keeps the community out of itself") {
  const Folder folder;
  auto fleet = load_fleet(kHere / "fleets/garden.toml", kHere / "models");
  DaemonWishes wishes;
  wishes.listen = "127.0.0.1:9999";
  wishes.poll_interval = "5s";
  wishes.hook_program = "/usr/bin/tell \"desk\"";
  const auto file = folder.path / "frisket.toml";
  write_daemon_config(file, fleet, 16161, wishes);
  const auto table = toml::parse_file(file.string());
  CHECK(table["daemon"]["listen"].value<std::string>() == "127.0.0.1:9999");
  REQUIRE(table["device"].as_array()->size() == 14);
  CHECK(table["device"][0]["name"].value<std::string>() == "herbarium-copier");
  CHECK(table["device"][0]["address"].value<std::string>() == "127.20.1.11");
  CHECK(table["device"][0]["port"].value<int>() == 16161);
  CHECK(table["device"][0]["location"].value<std::string>() == "Herbarium, first floor, mounting room");
  CHECK(table["site"][1]["time_zone"].value<std::string>() == "Europe/Vienna");
  CHECK(table["hook"][0]["program"].value<std::string>() == "/usr/bin/tell \"desk\"");
  CHECK(read(file).find("fern-and-moss") == std::string::npos);
  const auto secret = folder.path / table["credential"][0]["community_file"].value<std::string>().value();
  CHECK(read(secret) == "fern-and-moss\n");
  CHECK((fs::status(secret).permissions() & (fs::perms::group_all | fs::perms::others_all)) == fs::perms::none);
}

TEST_CASE("durations and labels are the trade's") {
  CHECK(parse_milliseconds("1h30m") == 5'400'000);
  CHECK(parse_milliseconds("250ms") == 250);
  for (const char* text : {"", "5", "s", "-1s", "1.5s", "1 s", "5y", "99999999999s"})
    CHECK_FALSE(parse_milliseconds(text).has_value());
  CHECK(label_value("PrtInputTypeTC", "sheetFeedManual") == 5);
  CHECK(label_value("PrtAlertCodeTC", "markerTonerAlmostEmpty") == 1104);
  CHECK_FALSE(label_value("PrtInputTypeTC", "drawer").has_value());
}

TEST_CASE("simulated time runs at its speed, or stands still until told") {
  std::chrono::nanoseconds real{0};
  FleetTime fast(60, false, [&] { return real; });
  FleetTime manual(1, true, [&] { return real; });
  real = std::chrono::seconds(2);
  CHECK(fast.now() == std::chrono::minutes(2));
  CHECK(manual.now().count() == 0);
  manual.advance(std::chrono::seconds(30));
  CHECK(manual.now() == std::chrono::seconds(30));
}
