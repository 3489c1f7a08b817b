// How values become kept JSON and come back: once for each kind of type.
//
// A struct says its fields in one place, a line each (Fields<T>::of, see kept_condition.h); both
// directions follow from that, and a field that is left out there does not compile. A closed enumeration is
// kept as its word, an open one (a standard's numbers) as its number. What is empty is not
// written. Reading never throws: an unknown field is ignored, a missing one keeps its default, what
// does not fit is noted in a Misfit. Inside daemon/store only. Pure; any thread.
#pragma once

#include <array>
#include <boost/pfr.hpp>
#include <chrono>
#include <concepts>
#include <cstdint>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>
#include <type_traits>
#include <utility>
#include <vector>

#include "daemon/store/misfit.h"
#include "probes/model/result.h"

namespace frisket::store {

template <class M>
struct Field {
  const char* name;
  M& member;
};

template <class M>
Field<M> field(const char* name, M& member) {
  return {name, member};
}

// Specialised for each struct: `static auto of(auto& value)` gives a tuple of its fields.
template <class T>
struct Fields;

// True for an enumeration whose numbers are a standard's: unknown numbers are kept.
template <class E>
inline constexpr bool kOpenEnumeration = false;

// The word of a closed enumeration's value; specialised where the enumeration has no to_text().
template <class E>
std::string_view word_of(E value) {
  return to_text(value);
}

// How many values a closed enumeration can have here: words are looked for below this.
inline constexpr int kMostWords = 64;

// Specialised for each kind of type: `to(value)` and `from(json, value, misfit)`.
template <class T>
struct Kept;

template <class T>
concept Struct = requires(T& value) { Fields<T>::of(value); };

template <>
struct Kept<bool> {
  static Json to(bool value) { return value; }
  static void from(const Json& json, bool& value, Misfit& misfit) {
    if (!json.is_boolean()) return misfit.note("is not true or false");
    value = json.get<bool>();
  }
};

template <std::integral T>
struct Kept<T> {
  static Json to(T value) { return value; }
  static void from(const Json& json, T& value, Misfit& misfit) {
    if (json.is_number_unsigned() && std::in_range<T>(json.get<std::uint64_t>()))
      value = static_cast<T>(json.get<std::uint64_t>());
    else if (json.is_number_integer() && !json.is_number_unsigned() && std::in_range<T>(json.get<std::int64_t>()))
      value = static_cast<T>(json.get<std::int64_t>());
    else
      misfit.note("is not a whole number that fits");
  }
};

template <std::floating_point T>
struct Kept<T> {
  static Json to(T value) { return value; }
  static void from(const Json& json, T& value, Misfit& misfit) {
    if (!json.is_number()) return misfit.note("is not a number");
    value = json.get<T>();
  }
};

template <>
struct Kept<std::string> {
  static Json to(const std::string& value) { return value; }
  static void from(const Json& json, std::string& value, Misfit& misfit) {
    if (!json.is_string()) return misfit.note("is not a text");
    value = json.get_ref<const std::string&>();
  }
};

// Instants and durations as counts: of milliseconds from 1970 on, of the duration's own unit.
template <class Rep, class Period>
struct Kept<std::chrono::duration<Rep, Period>> {
  using T = std::chrono::duration<Rep, Period>;
  static Json to(T value) { return value.count(); }
  static void from(const Json& json, T& value, Misfit& misfit) {
    Rep count = value.count();
    Kept<Rep>::from(json, count, misfit);
    value = T(count);
  }
};

template <class Clock, class Duration>
struct Kept<std::chrono::time_point<Clock, Duration>> {
  using T = std::chrono::time_point<Clock, Duration>;
  static Json to(T value) { return Kept<Duration>::to(value.time_since_epoch()); }
  static void from(const Json& json, T& value, Misfit& misfit) {
    auto since = value.time_since_epoch();
    Kept<Duration>::from(json, since, misfit);
    value = T(since);
  }
};

template <class E>
  requires std::is_enum_v<E>
struct Kept<E> {
  static Json to(E value) {
    if constexpr (kOpenEnumeration<E>)
      return static_cast<std::underlying_type_t<E>>(value);
    else
      return std::string(word_of(value));
  }
  static void from(const Json& json, E& value, Misfit& misfit) {
    if constexpr (kOpenEnumeration<E>) {
      auto number = static_cast<std::underlying_type_t<E>>(value);
      Kept<std::underlying_type_t<E>>::from(json, number, misfit);
      value = static_cast<E>(number);
    } else {
      from_word(json, value, misfit);
    }
  }

 private:
  static void from_word(const Json& json, E& value, Misfit& misfit) {
    if (!json.is_string()) return misfit.note("is not a word");
    const auto& word = json.get_ref<const std::string&>();
    for (int number = 0; number < kMostWords; ++number) {
      if (word_of(static_cast<E>(number)) != word) continue;
      value = static_cast<E>(number);
      return;
    }
    misfit.note("is a word that is not known here");
  }
};

template <class T>
struct Kept<std::optional<T>> {
  static Json to(const std::optional<T>& value) { return value ? Kept<T>::to(*value) : Json(); }
  static void from(const Json& json, std::optional<T>& value, Misfit& misfit) {
    value.reset();
    if (!json.is_null()) Kept<T>::from(json, value.emplace(), misfit);
  }
};

template <class T>
struct Kept<std::vector<T>> {
  static Json to(const std::vector<T>& value) {
    Json list = Json::array();
    for (const T& entry : value) list.push_back(Kept<T>::to(entry));
    return list;
  }
  static void from(const Json& json, std::vector<T>& value, Misfit& misfit) {
    if (!json.is_array()) return misfit.note("is not a list");
    value.clear();
    for (const auto& entry : json) {
      const Misfit::Inside inside(misfit, "entry " + std::to_string(value.size() + 1));
      Kept<T>::from(entry, value.emplace_back(), misfit);
    }
  }
};

// As a list of pairs, since JSON's objects have texts for keys only.
template <class K, class V>
struct Kept<std::map<K, V>> {
  static Json to(const std::map<K, V>& value) {
    Json list = Json::array();
    for (const auto& [key, entry] : value) list.push_back(Json::array({Kept<K>::to(key), Kept<V>::to(entry)}));
    return list;
  }
  static void from(const Json& json, std::map<K, V>& value, Misfit& misfit) {
    if (!json.is_array()) return misfit.note("is not a list");
    value.clear();
    for (const auto& pair : json) {
      const Misfit::Inside inside(misfit, "entry " + std::to_string(value.size() + 1));
      if (!pair.is_array() || pair.size() != 2) return misfit.note("is not a pair");
      K key{};
      Kept<K>::from(pair[0], key, misfit);
      Kept<V>::from(pair[1], value[std::move(key)], misfit);
    }
  }
};

template <Struct T>
struct Kept<T> {
  static_assert(std::tuple_size_v<decltype(Fields<T>::of(std::declval<T&>()))> == boost::pfr::tuple_size_v<T>,
                "a field of this struct is not listed in its Fields<>::of, and would be lost at a restart");

  static Json to(const T& value) {
    static const Json kDefaults = whole(T{});
    Json json = whole(value);
    for (const auto& [name, standard] : kDefaults.items())
      if (says_nothing(standard) && json[name] == standard) json.erase(name);
    return json;
  }
  static void from(const Json& json, T& value, Misfit& misfit) {
    if (!json.is_object()) return misfit.note("is not an object");
    const auto read = [&](const auto& field) {
      const auto found = json.find(field.name);
      if (found == json.end()) return;
      const Misfit::Inside inside(misfit, field.name);
      Kept<std::remove_cvref_t<decltype(field.member)>>::from(*found, field.member, misfit);
    };
    std::apply([&](const auto&... field) { (read(field), ...); }, Fields<T>::of(value));
  }

 private:
  static bool says_nothing(const Json& json) { return json.empty() || (json.is_string() && json == ""); }
  static Json whole(const T& value) {
    Json json = Json::object();
    const auto write = [&](const auto& field) {
      json[field.name] = Kept<std::remove_cvref_t<decltype(field.member)>>::to(field.member);
    };
    std::apply([&](const auto&... field) { (write(field), ...); }, Fields<T>::of(value));
    return json;
  }
};

// One line of UTF-8. Octets that are no UTF-8 become U+FFFD; never throws for what a value holds.
template <class T>
std::string text_of(const T& value) {
  return Kept<T>::to(value).dump(-1, ' ', false, Json::error_handler_t::replace);
}

// `what` names the kind of thing in the error: "a kept incident".
template <class T>
model::Result<T> value_of(std::string_view text, const char* what) {
  Misfit misfit;
  T value{};
  const Json json = parsed(text, misfit);
  if (misfit.none()) Kept<T>::from(json, value, misfit);
  if (misfit.none()) return value;
  return model::Error{model::Error::Kind::invalid, std::string("reading ") + what, "", misfit.text()};
}

}  // namespace frisket::store
