// A part of a list, put together from items that are JSON already. Pure.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <utility>

namespace frisket::http {

// At most `limit` items that come after the item with the key `after`.
struct Window {
  std::size_t limit = 1000;
  std::string after;  // empty: from the start
};

struct Slice {
  std::string items;                // JSON objects with commas between them
  std::optional<std::string> next;  // the key to continue after; nothing at the end of the list
};

// Collects items until the window is full; the item after that only tells that there is more.
class SliceBuilder {
 public:
  explicit SliceBuilder(std::size_t limit) : limit_(limit) {}

  // False once the window is full.
  bool add(const std::string& item, const std::string& key) {
    if (count_ == limit_) {
      slice_.next = last_key_;
      return false;
    }
    if (count_ > 0) slice_.items += ',';
    slice_.items += item;
    last_key_ = key;
    ++count_;
    return true;
  }

  Slice take() { return std::move(slice_); }

 private:
  std::size_t limit_;
  std::size_t count_ = 0;
  std::string last_key_;
  Slice slice_;
};

}  // namespace frisket::http
