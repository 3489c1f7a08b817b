// Result<T>: a value or the error that took its place.
//
// Expected failures are values; exceptions are for bugs and for what ends the
// whole operation. An Error says which kind it is (chosen by what the caller does
// next), what was being done, and to whom. Any thread; no allocation of its own.
#pragma once

#include <string>
#include <utility>
#include <variant>

namespace frisket::model {

struct Error {
  enum class Kind {
    silent,        // nobody answered in time: try again later
    refused,       // the peer said no: credentials or rights must change first
    unknown_user,  // the peer said no: it has no such user
    wrong_key,     // the peer said no: the user is not who he says he is
    nonsense,      // the peer answered, but not in the protocol: look at the peer
    local,         // this machine could not do it: look at the message
    invalid,       // what the caller passed is wrong: a retry cannot help
  };

  Kind kind = Kind::local;
  std::string doing;  // "reading the supplies table"
  std::string whom;   // "herbarium-copier", "/etc/frisket/frisket.toml"; may be empty
  std::string what;   // the particular: "no answer in 3 attempts"

  // "reading the supplies table of herbarium-copier: no answer in 3 attempts"
  std::string text() const {
    std::string sentence = doing;
    if (!whom.empty()) sentence += " of " + whom;
    if (!what.empty()) sentence += ": " + what;
    return sentence;
  }
};

// Reading value() of a failure, or error() of a success, is a bug in the caller:
// std::get then throws.
template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value) : content_(std::in_place_index<0>, std::move(value)) {}
  Result(Error error) : content_(std::in_place_index<1>, std::move(error)) {}

  bool has_value() const { return content_.index() == 0; }
  explicit operator bool() const { return has_value(); }

  T& value() & { return std::get<0>(content_); }
  const T& value() const& { return std::get<0>(content_); }
  T&& value() && { return std::get<0>(std::move(content_)); }
  T& operator*() & { return value(); }
  const T& operator*() const& { return value(); }
  T* operator->() { return &value(); }
  const T* operator->() const { return &value(); }

  Error& error() & { return std::get<1>(content_); }
  const Error& error() const& { return std::get<1>(content_); }

 private:
  std::variant<T, Error> content_;
};

// Success without a value.
struct Done {};

}  // namespace frisket::model
