// What is left to be sent of an answer: its head, then the pieces of its body, as pieces of memory for the next write.
#pragma once

#include <sys/uio.h>

#include <algorithm>
#include <cstddef>
#include <span>
#include <string_view>
#include <vector>

#include "daemon/http/pieces.h"

namespace frisket::http {

class Sending {
 public:
  // A null body: the head alone. What is sent must outlive this. `at_once`: pieces that one write takes, at least 1.
  Sending(std::string_view head, const Pieces* body, std::size_t at_once)
      : head_(head), body_(body), left_(head.size() + (body == nullptr ? 0 : body->size())) {
    const auto pieces = 1 + (body == nullptr ? 0 : body->pieces().size());
    room_.resize(std::min(at_once, pieces));
  }

  bool done() const { return left_ == 0; }

  // As much as one write takes, no piece empty. Valid until the next call.
  std::span<const iovec> next() {
    std::size_t count = 0;
    const auto add = [&](std::string_view octets) {
      if (!octets.empty()) room_[count++] = {const_cast<char*>(octets.data()), octets.size()};
    };
    add(head_);
    if (body_ == nullptr) return {room_.data(), count};
    const auto& pieces = body_->pieces();
    auto skipped = sent_of_piece_;
    for (auto piece = piece_; piece < pieces.size() && count < room_.size(); ++piece) {
      add(pieces[piece].octets().substr(skipped));
      skipped = 0;
    }
    return {room_.data(), count};
  }

  // So many octets of what next() gave have been written.
  void sent(std::size_t octets) {
    left_ -= octets;
    const auto of_head = std::min(octets, head_.size());
    head_.remove_prefix(of_head);
    octets -= of_head;
    while (octets > 0) {
      const auto rest = body_->pieces()[piece_].octets().size() - sent_of_piece_;
      if (octets < rest) {
        sent_of_piece_ += octets;
        return;
      }
      octets -= rest;
      sent_of_piece_ = 0;
      ++piece_;
    }
  }

 private:
  std::string_view head_;
  const Pieces* body_;
  std::size_t left_;
  std::size_t piece_ = 0;
  std::size_t sent_of_piece_ = 0;
  std::vector<iovec> room_;
};

}  // namespace frisket::http
