// Where and why kept JSON did not fit. Inside daemon/store only.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>
#include <vector>

namespace frisket::store {

using Json = nlohmann::json;

// Notes the first thing that did not fit, with the way to it.
class Misfit {
 public:
  // While it lives, what is noted is inside `name`.
  class Inside {
   public:
    Inside(Misfit& misfit, std::string name) : misfit_(misfit) { misfit_.way_.push_back(std::move(name)); }
    ~Inside() { misfit_.way_.pop_back(); }
    Inside(const Inside&) = delete;
    Inside& operator=(const Inside&) = delete;

   private:
    Misfit& misfit_;
  };

  void note(std::string_view what);
  bool none() const { return text_.empty(); }
  const std::string& text() const { return text_; }

 private:
  std::vector<std::string> way_;
  std::string text_;
};

// The JSON in the text; null, and a note, for what is not JSON.
Json parsed(std::string_view text, Misfit& misfit);

}  // namespace frisket::store
