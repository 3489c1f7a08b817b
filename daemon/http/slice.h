// A part of a list, put together from items that are JSON already. Pure.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <utility>

#include "daemon/http/revisions.h"
#include "daemon/http/selection.h"

namespace frisket::http {

// At most `limit` items that come after the item with the key `after`.
struct Window {
  std::size_t limit = 1000;
  std::string after;    // empty: from the start
  FieldNames fields{};  // of each item; none: all
};

struct Slice {
  std::string items;                // JSON objects with commas between them
  std::optional<std::string> next;  // the key to continue after; nothing at the end of the list
  std::uint64_t version = 0;        // of what the items say; 0: not told
};

// Collects items until the window is full; the item after that only tells that there is more.
class SliceBuilder {
 public:
  // The window must stay alive as long as the builder.
  explicit SliceBuilder(const Window& window) : window_(window) {}

  // False once the window is full.
  bool add(const std::string& item, const std::string& key, std::uint64_t revision) {
    if (count_ == window_.limit) {
      slice_.next = last_key_;
      versions_.add(0);  // of no item: the end of the list is elsewhere now
      return false;
    }
    if (count_ > 0) slice_.items += ',';
    append_selected(slice_.items, item, window_.fields);
    versions_.add(revision);
    last_key_ = key;
    ++count_;
    return true;
  }

  Slice take() {
    slice_.version = versions_.number();
    return std::move(slice_);
  }

 private:
  const Window& window_;
  std::size_t count_ = 0;
  std::string last_key_;
  Versions versions_;
  Slice slice_;
};

}  // namespace frisket::http
