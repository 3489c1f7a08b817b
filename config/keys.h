// One table of every key of the configuration.
//
// It drives three things: what the loader accepts and refuses, what a key that is absent
// stands for, and the test that holds docs/configuration.md to the code. Pure; any thread.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace frisket::config {

enum class Type {
  text,      // one line
  secret,    // text that no message may show
  name,      // syntax.h: is_name
  word,      // one of Key::words
  address,   // IP literal or host name
  endpoint,  // IP literal and port
  listener,  // the same, of any interface; empty: none
  zone,      // IANA time zone
  path,      // of a file or folder; relative ones are taken from the configuration's folder
  boolean,
  integer,
  number,    // whole or with a fraction
  duration,  // to the millisecond
  seconds,   // a duration of whole seconds
  name_list,
  keyword_list,  // IPP keywords
  text_list,     // any text without NUL
};

struct Required {};  // the key must be there
struct Nothing {};   // the key may be absent, and nothing takes its place
using Fallback = std::variant<Required, Nothing, bool, std::int64_t, double, std::string_view>;

struct Key {
  std::string_view section;  // "device"; "rules.supply.KIND" stands for one section for each kind
  std::string_view name;     // "poll_interval"
  Type type;
  Fallback fallback;
  double least;  // the number; milliseconds of a duration; bytes of a text; entries of a list
  double most;
  std::span<const std::string_view> words;  // for Type::word
  std::string_view meaning;                 // one sentence, as docs/configuration.md has it

  bool required() const { return std::holds_alternative<Required>(fallback); }
};

// Sections in the order of the documentation, keys in order within.
std::span<const Key> all_keys();
std::span<const Key> keys_of(std::string_view section);

struct SectionKind {
  std::string_view name;
  bool repeated;  // written [[name]]
};

// What may stand at the top of the file.
std::span<const SectionKind> top_sections();

// `a duration from "1s" to "24h"`: what the key takes, for messages and for the documentation.
std::string allowed(const Key& key);

// `"30s"`, `161`, "required", "none".
std::string fallback_text(const Key& key);

// The type that TOML has for it: "string", "integer", "number", "list of strings".
std::string_view type_text(Type type);

}  // namespace frisket::config
