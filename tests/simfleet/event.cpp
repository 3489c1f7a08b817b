#include "tests/simfleet/event.h"

#include <charconv>
#include <cmath>
#include <optional>

#include "tests/simfleet/fault.h"
#include "tests/simfleet/labels.h"
#include "tests/simfleet/toml_reader.h"

namespace frisket::simfleet {
namespace {

// Words of a line, and what is left of it as free text.
class Words {
 public:
  explicit Words(std::string_view line) : rest_(line) { trim(); }

  std::string_view take() {
    const auto word = rest_.substr(0, rest_.find(' '));
    rest_.remove_prefix(word.size());
    trim();
    return word;
  }
  bool empty() const { return rest_.empty(); }
  std::string_view rest() const { return rest_; }

 private:
  void trim() {
    while (rest_.starts_with(' ')) rest_.remove_prefix(1);
    while (rest_.ends_with(' ') || rest_.ends_with('\r')) rest_.remove_suffix(1);
  }
  std::string_view rest_;
};

std::optional<double> number(std::string_view word) {
  if (word.ends_with('%')) word.remove_suffix(1);
  double value = 0;
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
  if (error != std::errc{} || end != word.data() + word.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

std::optional<std::int32_t> whole(std::string_view word) {
  std::int32_t value = 0;
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
  if (error != std::errc{} || end != word.data() + word.size()) return std::nullopt;
  return value;
}

struct Group {
  std::string_view word;
  std::int32_t value;  // PrtAlertGroupTC
};
constexpr Group kGroups[] = {{"cover", 6},   {"input", 8},       {"output", 9},  {"marker", 10},
                             {"supply", 11}, {"media-path", 13}, {"channel", 14}};

std::size_t rows(const Model& model, std::int32_t group) {
  switch (group) {
    case 6:
      return model.covers.size();
    case 8:
      return model.inputs.size();
    case 9:
      return model.outputs.size();
    case 10:
      return model.markers.size();
    case 11:
      return model.supplies.size();
    case 13:
      return model.paths.size();
    case 14:
      return model.channels.size();
    default:
      return 1;
  }
}

// "input:2", or "2" where the verb implies the group.
std::variant<Subunit, std::string> parse_subunit(std::string_view word, std::int32_t implied, const Model& model) {
  const auto colon = word.find(':');
  Subunit subunit{implied, 0};
  if (colon != std::string_view::npos) {
    subunit.group = 0;
    for (const auto& group : kGroups) {
      if (group.word == word.substr(0, colon)) subunit.group = group.value;
    }
    if (subunit.group == 0) {
      return "\"" + std::string(word) +
             "\": allowed: cover:, input:, output:, marker:, supply:, media-path:, channel: and a row";
    }
  }
  const auto index = whole(colon == std::string_view::npos ? word : word.substr(colon + 1));
  const auto most = rows(model, subunit.group);
  if (!index || *index < 1 || static_cast<std::size_t>(*index) > most) {
    return "\"" + std::string(word) + "\": allowed here: rows 1 to " + std::to_string(most) + " of " + model.key;
  }
  subunit.index = *index;
  return subunit;
}

// What a verb takes after it.
enum class Takes {
  nothing,
  subunit,
  subunit_or_all,
  subunit_number,
  subunit_text,
  number,
  text,
  duration,
  fault,
  alert,
  unalert,
  object,
  oid
};

struct Form {
  std::string_view word;
  Verb verb;
  Takes takes;
  std::int32_t group;  // implied
};

constexpr Form kForms[] = {
    {"jam", Verb::jam, Takes::subunit, 8},
    {"unjam", Verb::unjam, Takes::subunit_or_all, 8},
    {"open", Verb::open, Takes::subunit, 6},
    {"close", Verb::close, Takes::subunit, 6},
    {"pull", Verb::pull, Takes::subunit, 8},
    {"insert", Verb::insert, Takes::subunit, 8},
    {"load", Verb::load, Takes::subunit_number, 8},
    {"media", Verb::media, Takes::subunit_text, 8},
    {"room", Verb::room, Takes::subunit_number, 9},
    {"level", Verb::level, Takes::subunit_number, 11},
    {"take", Verb::take, Takes::subunit, 11},
    {"replace", Verb::replace, Takes::subunit, 11},
    {"break", Verb::fail, Takes::subunit, 10},
    {"repair", Verb::repair, Takes::subunit_or_all, 10},
    {"offline", Verb::offline, Takes::nothing, 0},
    {"online", Verb::online, Takes::nothing, 0},
    {"rate", Verb::rate, Takes::number, 0},
    {"print", Verb::print, Takes::number, 0},
    {"console", Verb::console, Takes::text, 0},
    {"off", Verb::off, Takes::nothing, 0},
    {"on", Verb::on, Takes::nothing, 0},
    {"fault", Verb::fault, Takes::fault, 0},
    {"slow", Verb::slow, Takes::duration, 0},
    {"loss", Verb::loss, Takes::number, 0},
    {"alert", Verb::alert, Takes::alert, 0},
    {"unalert", Verb::unalert, Takes::unalert, 0},
    {"set", Verb::set, Takes::object, 0},
    {"unset", Verb::unset, Takes::oid, 0},
    {"hide", Verb::hide, Takes::oid, 0},
    {"link-errors", Verb::link_errors, Takes::number, 0},
};

std::string allowed_verbs() {
  std::string verbs;
  for (const auto& form : kForms) verbs.append(verbs.empty() ? "" : ", ").append(form.word);
  return verbs;
}

std::optional<std::int32_t> label_or_number(std::string_view type, std::string_view word) {
  if (const auto value = label_value(type, word)) return value;
  return whole(word);
}

// "alert SEVERITY GROUP ROW LOCATION CODE TRAINING [TEXT]"
std::string parse_alert(Words& words, Event& event) {
  const auto severity = label_or_number("PrtAlertSeverityLevelTC", words.take());
  const auto group = label_or_number("PrtAlertGroupTC", words.take());
  const auto row = whole(words.take());
  const auto location = whole(words.take());
  const auto code = label_or_number("PrtAlertCodeTC", words.take());
  const auto training = label_or_number("PrtAlertTrainingLevelTC", words.take());
  if (!severity || !group || !row || !location || !code || !training) {
    return "allowed: alert SEVERITY GROUP ROW LOCATION CODE TRAINING [TEXT], labels of the standard or numbers";
  }
  event.subunit = {*group, *row};
  event.numbers = {*severity, *training, *location, *code};
  event.text = std::string(words.rest());
  return {};
}

// "unalert GROUP ROW CODE"
std::string parse_unalert(Words& words, Event& event) {
  const auto group = label_or_number("PrtAlertGroupTC", words.take());
  const auto row = whole(words.take());
  const auto code = label_or_number("PrtAlertCodeTC", words.take());
  if (!group || !row || !code || !words.empty()) return "allowed: unalert GROUP ROW CODE";
  event.subunit = {*group, *row};
  event.numbers = {*code};
  return {};
}

// "set OID TYPE VALUE"
std::string parse_object(Words& words, Event& event) {
  const auto oid = ber::parse_oid(words.take());
  if (!oid) return "allowed: an OID in numbers";
  event.oid = *oid;
  const auto type = words.take();
  const auto value = words.rest();
  if (type == "text") {
    ber::append_octets(event.value, value);
    return {};
  }
  if (type == "hex") {
    std::string octets;
    for (std::size_t i = 0; i + 1 < value.size(); i += 2) {
      unsigned octet = 0;
      const auto [end, error] = std::from_chars(value.data() + i, value.data() + i + 2, octet, 16);
      if (error != std::errc{} || end != value.data() + i + 2) return "hex: allowed: pairs of digits";
      octets.push_back(static_cast<char>(octet));
    }
    ber::append_octets(event.value, octets);
    return {};
  }
  if (type == "oid") {
    const auto named = ber::parse_oid(value);
    if (!named) return "oid: allowed: an OID in numbers";
    ber::append_oid(event.value, *named);
    return {};
  }
  if (type == "null") {
    ber::append_empty(event.value, ber::null);
    return {};
  }
  const auto amount = number(value);
  if (!amount) return "allowed: a number";
  if (type == "integer") {
    ber::append_integer(event.value, static_cast<std::int64_t>(*amount));
  } else if (*amount < 0 || *amount > 1.8e19) {
    return "allowed: a natural number";
  } else if (type == "counter32" || type == "gauge32" || type == "ticks" || type == "counter64") {
    const auto tag = type == "counter32" ? ber::counter32
                     : type == "gauge32" ? ber::gauge32
                     : type == "ticks"   ? ber::time_ticks
                                         : ber::counter64;
    ber::append_unsigned(event.value, static_cast<std::uint64_t>(*amount), tag);
  } else {
    return "type: allowed: integer, counter32, gauge32, ticks, counter64, text, hex, oid, null";
  }
  return {};
}

std::string parse_fault(Words& words, Event& event) {
  event.text = std::string(words.take());
  if (!parse_fault_name(event.text)) return "fault: allowed: " + fault_names();
  event.number = 100;
  if (words.empty()) return {};
  const auto share = number(words.take());
  if (!share || *share < 0 || *share > 100) return "fault: allowed: a share of answers from 0 to 100 (percent)";
  event.number = *share;
  return {};
}

// A quantity after a subunit: a number, or the words full and empty.
std::string parse_quantity(Words& words, const Form& form, const Model& model, Event& event) {
  const auto word = words.take();
  const auto row = static_cast<std::size_t>(event.subunit.index - 1);
  const double full = form.verb == Verb::load   ? model.inputs[row].capacity
                      : form.verb == Verb::room ? model.outputs[row].capacity
                                                : 100.0;
  const auto value = word == "full" ? std::optional(full) : word == "empty" ? std::optional(0.0) : number(word);
  if (!value || *value < 0 || *value > full) {
    return "\"" + std::string(word) + "\": allowed: full, empty, or a number from 0 to " +
           std::to_string(static_cast<std::int64_t>(full));
  }
  event.number = *value;
  return {};
}

std::string parse_rest(Words& words, const Form& form, const Model& model, Event& event) {
  const bool has_subunit = form.takes == Takes::subunit || form.takes == Takes::subunit_or_all ||
                           form.takes == Takes::subunit_number || form.takes == Takes::subunit_text;
  if (form.takes == Takes::subunit_or_all && words.empty()) {
    event.subunit = {0, 0};
    return {};
  }
  if (has_subunit) {
    auto subunit = parse_subunit(words.take(), form.group, model);
    if (auto* wrong = std::get_if<std::string>(&subunit)) return *wrong;
    event.subunit = std::get<Subunit>(subunit);
    const bool fixed =
        form.verb != Verb::jam && form.verb != Verb::unjam && form.verb != Verb::fail && form.verb != Verb::repair;
    const bool bin = (form.verb == Verb::pull || form.verb == Verb::insert) && event.subunit.group == 9;
    if (fixed && !bin && event.subunit.group != form.group) return "not for that kind of subunit";
  }
  switch (form.takes) {
    case Takes::subunit_number:
      return parse_quantity(words, form, model, event);
    case Takes::subunit_text:
      event.text = std::string(words.rest());
      return {};
    case Takes::number: {
      const auto value = number(words.take());
      if (!value || *value < 0 || *value > 1e9) return "allowed: a number from 0";
      event.number = *value;
      break;
    }
    case Takes::text: {
      const auto line = whole(words.take());
      if (!line || *line < 1 || *line > model.console_lines)
        return "allowed: a display line from 1 to " + std::to_string(model.console_lines);
      event.subunit = {16, *line};
      event.text = std::string(words.rest());
      return {};
    }
    case Takes::duration: {
      const auto delay = parse_milliseconds(words.take());
      if (!delay || *delay > 600'000) return "allowed: a duration up to 10m, such as \"300ms\"";
      event.number = static_cast<double>(*delay);
      break;
    }
    case Takes::fault:
      return parse_fault(words, event);
    case Takes::alert:
      return parse_alert(words, event);
    case Takes::unalert:
      return parse_unalert(words, event);
    case Takes::object:
      return parse_object(words, event);
    case Takes::oid: {
      const auto oid = ber::parse_oid(words.take());
      if (!oid) return "allowed: an OID in numbers";
      event.oid = *oid;
      break;
    }
    default:
      break;
  }
  return words.empty() ? std::string() : "did not expect \"" + std::string(words.rest()) + "\"";
}

}  // namespace

std::variant<Event, std::string> parse_event(std::string_view line, const Model& model) {
  Words words(line);
  const auto verb = words.take();
  for (const auto& form : kForms) {
    if (form.word != verb) continue;
    Event event;
    event.verb = form.verb;
    if (auto wrong = parse_rest(words, form, model, event); !wrong.empty()) return std::string(verb) + ": " + wrong;
    return event;
  }
  return "\"" + std::string(verb) + "\" is not one of " + allowed_verbs();
}

}  // namespace frisket::simfleet
