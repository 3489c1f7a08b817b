#include "tests/simfleet/model.h"

#include <algorithm>

#include "tests/simfleet/toml_reader.h"

namespace frisket::simfleet {
namespace {

constexpr std::int64_t kMax = 2147483647;

// What a panel says in English; a model's [texts] translate.
const std::map<std::string, std::string>& english() {
  static const std::map<std::string, std::string> texts{
      {"ready", "Ready"},
      {"printing", "Printing"},
      {"warming-up", "Warming up"},
      {"off-line", "Off line"},
      {"jam", "Paper jam: {}"},
      {"open", "Close {}"},
      {"missing", "{} missing"},
      {"low", "{} low"},
      {"empty", "{} empty"},
      {"almost-full", "{} nearly full"},
      {"full", "{} full"},
      {"life-almost-over", "{}: replace soon"},
      {"life-over", "{}: end of life"},
      {"broken", "{} failed: call service"},
  };
  return texts;
}

Reports reports(TableReader& reader) {
  const auto word = reader.text("reports", "exact");
  if (word == "exact") return Reports::exact;
  if (word == "percent") return Reports::percent;
  if (word == "some") return Reports::some_left;
  if (word == "unknown") return Reports::unknown;
  fail(reader.whole(), "reports: \"" + word + "\" is not one of exact, percent, some, unknown");
}

std::int32_t int32(TableReader& reader, std::string_view key, std::optional<std::int64_t> otherwise,
                   std::int64_t least = 0, std::int64_t most = kMax) {
  return static_cast<std::int32_t>(reader.integer(key, otherwise, least, most));
}

void read_media(Model& model, TableReader& top) {
  for (const auto* table : top.tables("cover")) {
    TableReader r(*table);
    model.covers.push_back({r.text("name"), r.flag("interlock", false), r.flag("stops", true)});
    r.finish();
  }
  for (const auto* table : top.tables("input")) {
    TableReader r(*table);
    InputKind kind;
    kind.name = r.text("name");
    kind.type = r.label("type", "PrtInputTypeTC", "sheetFeedAutoRemovableTray");
    kind.unit = r.label("unit", "PrtCapacityUnitTC", "sheets");
    kind.capacity = int32(r, "capacity", 250, 1);
    kind.low_at = int32(r, "low_at", kind.capacity / 10);
    kind.feed_um = int32(r, "feed_um", 297000, -2);
    kind.cross_um = int32(r, "cross_um", 210000, -2);
    kind.media = r.text("media", "iso_a4_210x297mm");
    kind.media_type = r.text("media_type", "stationery");
    kind.media_color = r.text("media_color", "white");
    kind.weight = int32(r, "weight", 80, -2);
    kind.stops = r.flag("stops", false);
    kind.manual = r.flag("manual", false);
    kind.reports = reports(r);
    r.finish();
    model.inputs.push_back(std::move(kind));
  }
  for (const auto* table : top.tables("output")) {
    TableReader r(*table);
    OutputKind kind;
    kind.name = r.text("name");
    kind.type = r.label("type", "PrtOutputTypeTC", "unRemovableBin");
    kind.unit = r.label("unit", "PrtCapacityUnitTC", "sheets");
    kind.capacity = int32(r, "capacity", 250, 1);
    kind.reports = reports(r);
    r.finish();
    model.outputs.push_back(std::move(kind));
  }
  for (const auto* table : top.tables("media_path")) {
    TableReader r(*table);
    model.paths.push_back({r.text("name"), r.label("type", "PrtMediaPathTypeTC", "simplex"), int32(r, "speed", 30, 1)});
    r.finish();
  }
}

void read_marking(Model& model, TableReader& top) {
  for (const auto* table : top.tables("marker")) {
    TableReader r(*table);
    model.markers.push_back({r.label("technology", "PrtMarkerMarkTechTC", "electrophotographicLaser"),
                             r.label("counter_unit", "PrtMarkerCounterUnitTC", "impressions"),
                             int32(r, "process_colorants", 1), int32(r, "resolution", 236220, -2)});
    r.finish();
  }
  for (const auto* table : top.tables("colorant")) {
    TableReader r(*table);
    model.colorants.push_back({r.text("value"), r.label("role", "PrtMarkerColorantRoleTC", "process")});
    r.finish();
  }
  for (const auto* table : top.tables("supply")) {
    TableReader r(*table);
    SupplyKind kind;
    kind.name = r.text("name");
    kind.type = r.label("type", "PrtMarkerSuppliesTypeTC");
    kind.supply_class = r.label("class", "PrtMarkerSuppliesClassTC", "supplyThatIsConsumed");
    const auto colorant = r.text("colorant", "");
    if (!colorant.empty()) {
      const auto found = std::find_if(model.colorants.begin(), model.colorants.end(),
                                      [&](const ColorantKind& c) { return c.value == colorant; });
      if (found == model.colorants.end()) fail(*table, "colorant: no [[colorant]] of value \"" + colorant + "\"");
      kind.colorant = static_cast<std::int32_t>(found - model.colorants.begin()) + 1;
    }
    kind.unit = r.label("unit", "PrtMarkerSuppliesSupplyUnitTC", "percent");
    kind.capacity = int32(r, "capacity", 100, 1);
    kind.yield = r.number("yield", 5000.0, 1.0, 1e9);
    kind.low_at = r.number("low_at", 10.0, -1.0, 100.0);
    kind.color_share = r.number("page_share", 1.0, 0.0, 1.0);
    kind.stops = r.flag("stops", true);
    kind.reports = reports(r);
    r.finish();
    model.supplies.push_back(std::move(kind));
  }
}

void read_speaking(Model& model, TableReader& top) {
  for (const auto* table : top.tables("interpreter")) {
    TableReader r(*table);
    model.interpreters.push_back({r.label("family", "PrtInterpreterLangFamilyTC"), r.text("level", ""),
                                  r.text("version", ""), r.text("name", "")});
    r.finish();
  }
  for (const auto* table : top.tables("channel")) {
    TableReader r(*table);
    model.channels.push_back({r.label("type", "PrtChannelTypeTC"), r.text("version", ""), r.text("information", ""),
                              int32(r, "language", 0, 0, static_cast<std::int64_t>(model.interpreters.size()))});
    r.finish();
  }
  for (const auto* table : top.tables("light")) {
    TableReader r(*table);
    LightKind kind{r.text("name"), r.label("color", "PrtConsoleColorTC", "green"), r.text("when", "ready")};
    if (kind.when != "ready" && kind.when != "attention" && kind.when != "data") {
      fail(*table, "when: \"" + kind.when + "\" is not one of ready, attention, data");
    }
    r.finish();
    model.lights.push_back(std::move(kind));
  }
  if (const auto* table = top.table("console")) {
    TableReader r(*table);
    model.console_lines = int32(r, "lines", 2, 0, 20);
    model.console_chars = int32(r, "chars", 24, 0, 255);
    r.finish();
  }
  if (const auto* table = top.table("texts")) {
    TableReader r(*table);
    for (const auto& [condition, text] : english()) model.texts[condition] = r.text(condition, text);
    r.finish();
  }
}

void read_agent(Model& model, TableReader& top) {
  const auto suffix = ber::parse_oid(top.text("object_id", "1.3.6.1.4.1.32473.1.1"));
  if (!suffix) fail(top.whole(), "object_id: allowed: an OID such as \"1.3.6.1.4.1.32473.1.1\"");
  model.object_id = *suffix;
  model.device_index = int32(top, "device_index", 1, 1);
  const auto codes = top.text("alert_codes", "generic");
  if (codes != "generic" && codes != "special") fail(top.whole(), "alert_codes: allowed: generic, special");
  model.generic_codes = codes == "generic";
  model.alert_rows = static_cast<std::size_t>(top.integer("alert_rows", 32, 1, 1000));
  model.short_error_state = top.flag("short_error_state", false);
  const auto warm_up = parse_milliseconds(top.text("warm_up", "0s"));
  if (!warm_up) fail(top.whole(), "warm_up: allowed: a duration such as \"20s\"");
  model.warm_up_ms = *warm_up;
  model.message_limit = static_cast<std::size_t>(top.integer("message_limit", 1472, 484, 65507));
  model.bulk_limit = static_cast<std::size_t>(top.integer("bulk_limit", 1400, 200, 65507));
  for (const auto& text : top.texts("lacks")) {
    const auto oid = ber::parse_oid(text);
    if (!oid) fail(top.whole(), "lacks: \"" + text + "\" is not an OID");
    model.lacks.push_back(*oid);
  }
}

}  // namespace

std::string Model::encode(const std::string& utf8) const {
  if (charset == ModelCharset::utf8) return utf8;
  std::string out;
  for (std::size_t i = 0; i < utf8.size();) {
    const auto lead = static_cast<unsigned char>(utf8[i]);
    const std::size_t length = lead < 0x80 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
    const bool two = length == 2 && i + 1 < utf8.size();
    const unsigned point = length == 1 ? lead
                           : two       ? ((lead & 0x1FU) << 6) | (static_cast<unsigned char>(utf8[i + 1]) & 0x3FU)
                                       : 0x100;
    const bool fits = point < 0x80 || (charset == ModelCharset::latin1 && point < 0x100);
    out.push_back(fits ? static_cast<char>(point) : '?');
    i += length;
  }
  return out;
}

std::string Model::say(const std::string& condition, const std::string& subject) const {
  const auto own = texts.find(condition);
  std::string text = own != texts.end() ? own->second : english().at(condition);
  const auto gap = text.find("{}");
  if (gap != std::string::npos) text.replace(gap, 2, subject);
  return text;
}

std::shared_ptr<const Model> load_model(const std::filesystem::path& file) {
  const auto table = parse_file(file);
  auto model = std::make_shared<Model>();
  TableReader top(table);
  model->key = file.stem().string();
  model->maker = top.text("maker");
  model->name = top.text("model");
  model->firmware = top.text("firmware", "1.0");
  model->language = top.text("language", "en");
  model->country = top.text("country", "  ");
  const auto charset = top.text("charset", "utf8");
  if (charset != "utf8" && charset != "latin1" && charset != "ascii")
    fail(table, "charset: allowed: utf8, latin1, ascii");
  model->charset = charset == "utf8"     ? ModelCharset::utf8
                   : charset == "latin1" ? ModelCharset::latin1
                                         : ModelCharset::ascii;
  read_agent(*model, top);
  read_media(*model, top);
  read_marking(*model, top);
  read_speaking(*model, top);
  top.finish();
  if (model->inputs.empty() || model->outputs.empty() || model->markers.empty()) {
    fail(table, "a model needs at least one [[input]], [[output]] and [[marker]]");
  }
  build_mib(*model);
  return model;
}

}  // namespace frisket::simfleet
