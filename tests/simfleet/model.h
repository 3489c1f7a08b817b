// A kind of printer, as models/*.toml describes it (README.md has the format).
//
// Plain values, read once, shared by all devices of the model. Numbers are the Printer
// MIB's own (RFC 3805); texts are UTF-8 here and leave in the model's charset.
#pragma once

#include <cstdint>
#include <filesystem>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "tests/simfleet/mib.h"

namespace frisket::simfleet {

// The three that the fleet can encode; the numbers are IANA MIBenums.
enum class ModelCharset : std::int32_t { ascii = 3, latin1 = 4, utf8 = 106 };

// How a subunit tells its level.
enum class Reports {
  exact,
  percent,    // capacity 100, unit percent
  some_left,  // -3 until it is empty
  unknown,    // -2
};

struct CoverKind {
  std::string name;
  bool interlock = false;  // tells interlockOpen/Closed instead of coverOpen/Closed
  bool stops = true;       // open, it stops printing
};

struct InputKind {
  std::string name;
  std::int32_t type = 3;
  std::int32_t unit = 8;
  std::int32_t capacity = 250;
  std::int32_t low_at = 25;  // told as low at or below this; 0: never told
  std::int32_t feed_um = 297000;
  std::int32_t cross_um = 210000;
  std::string media;
  std::string media_type = "stationery";
  std::string media_color = "white";
  std::int32_t weight = 80;
  bool stops = false;   // empty or pulled out, it stops printing even if another input could serve
  bool manual = false;  // not used by itself; never an alert when empty
  Reports reports = Reports::exact;
};

struct OutputKind {
  std::string name;
  std::int32_t type = 4;
  std::int32_t unit = 8;
  std::int32_t capacity = 250;
  Reports reports = Reports::exact;
};

struct MarkerKind {
  std::int32_t technology = 4;
  std::int32_t counter_unit = 7;
  std::int32_t process_colorants = 1;
  std::int32_t resolution = 236220;  // per 10000 of addressability unit micrometers: 600 dpi
};

struct ColorantKind {
  std::string value;
  std::int32_t role = 3;
};

struct SupplyKind {
  std::string name;
  std::int32_t type = 3;
  std::int32_t supply_class = 3;  // 3 consumed, 4 filled
  std::int32_t colorant = 0;      // row, 0 none
  std::int32_t unit = 19;
  std::int32_t capacity = 100;
  double yield = 5000;       // pages that a full one is good for (a receptacle: until full)
  double low_at = 10;        // percent at which the device tells; negative: never
  double color_share = 1.0;  // share of pages that use it
  bool stops = true;         // empty (or full), it stops printing
  Reports reports = Reports::exact;
};

struct PathKind {
  std::string name;
  std::int32_t type = 5;
  std::int32_t speed = 30;  // pages a minute
};

struct ChannelKind {
  std::int32_t type = 11;
  std::string version;
  std::string information;
  std::int32_t language = 0;
};

struct InterpreterKind {
  std::int32_t family = 3;
  std::string level;
  std::string version;
  std::string name;
};

struct LightKind {
  std::string name;
  std::int32_t color = 5;
  std::string when;  // "ready", "attention", "data"
};

struct Model {
  std::string key;  // the file's name without .toml
  std::string maker;
  std::string name;
  std::string firmware;
  Oid object_id;
  std::int32_t device_index = 1;
  ModelCharset charset = ModelCharset::utf8;
  std::string language = "en";
  std::string country = "  ";
  bool generic_codes = true;       // 3..38 rather than 801, 1104, ... (RFC 3805 prefers generic)
  std::size_t alert_rows = 32;     // the alert table's size
  bool short_error_state = false;  // one octet, as RFC 1514 agents answer
  std::int64_t warm_up_ms = 0;
  std::int32_t console_lines = 2;
  std::int32_t console_chars = 24;
  std::size_t message_limit = 1472;
  std::size_t bulk_limit = 1400;
  std::vector<Oid> lacks;  // objects (prefixes) that these devices do not have
  std::vector<CoverKind> covers;
  std::vector<InputKind> inputs;
  std::vector<OutputKind> outputs;
  std::vector<MarkerKind> markers;
  std::vector<ColorantKind> colorants;
  std::vector<SupplyKind> supplies;
  std::vector<PathKind> paths;
  std::vector<ChannelKind> channels;
  std::vector<InterpreterKind> interpreters;
  std::vector<LightKind> lights;
  std::map<std::string, std::string> texts;  // by condition; "{}" is the subunit's name

  Mib mib;

  // UTF-8 to the model's charset; what it cannot say becomes '?'.
  std::string encode(const std::string& utf8) const;
  // The text for a condition in the model's language, or the English one.
  std::string say(const std::string& condition, const std::string& subject) const;
};

// Throws FileError.
std::shared_ptr<const Model> load_model(const std::filesystem::path& file);

// Fills model.mib from the rest (model_mib.cpp).
void build_mib(Model& model);

}  // namespace frisket::simfleet
