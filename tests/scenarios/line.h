// One line of a scenario file, as words.
//
// A word is what stands between blanks; a text in double quotes is one word. Whatever is wrong with
// a line is thrown as Wrong, with the line's number and what would have been right.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "probes/model/enum_names.h"
#include "probes/model/time.h"

namespace frisket::scenarios {

struct Wrong : std::runtime_error {
  Wrong(int line_number, const std::string& what) : std::runtime_error(what), line(line_number) {}
  int line;
};

class Line {
 public:
  Line(int number, std::string_view text);

  int number() const { return number_; }
  bool indented() const { return indented_; }
  bool blank() const { return words_.empty(); }  // also a line that is only a comment
  bool done() const { return next_ == words_.size(); }

  // The next word; Wrong if there is none. `what` says what was wanted.
  std::string word(std::string_view what);
  // Takes the next word if it is that one.
  bool take(std::string_view word);
  // The next word if it was quoted.
  std::optional<std::string> quoted();
  std::int32_t integer(std::string_view what);
  // "mm:ss" or "hh:mm:ss".
  model::Milliseconds time(std::string_view what);
  void must_be_done() const;

  [[noreturn]] void refuse(const std::string& what) const { throw Wrong(number_, what); }

  template <class Value, std::size_t Size>
  Value one_of(std::string_view what, const std::pair<std::string_view, Value> (&table)[Size]) {
    const auto said = word(what);
    std::string allowed;
    for (const auto& [name, value] : table) {
      if (name == said) return value;
      allowed += allowed.empty() ? "" : ", ";
      allowed += name;
    }
    refuse("'" + said + "' is no " + std::string(what) + ": " + allowed);
  }

  // A label of one of the standards' enumerations, or its number.
  template <class E>
  E listed(std::string_view what) {
    return static_cast<E>(listed_number(what, model::listed<E>()));
  }

 private:
  struct Word {
    std::string text;
    bool quoted = false;
  };

  std::int32_t listed_number(std::string_view what, std::span<const model::EnumName> rows);

  int number_;
  bool indented_ = false;
  std::vector<Word> words_;
  std::size_t next_ = 0;
};

}  // namespace frisket::scenarios
