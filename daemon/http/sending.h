// What is left to be sent of an answer: its head, then the pieces of its body, as buffers for the next write.
#pragma once

#include <algorithm>
#include <array>
#include <boost/asio/buffer.hpp>
#include <cstddef>
#include <span>
#include <string_view>

#include "daemon/http/pieces.h"

namespace frisket::http {

class Sending {
 public:
  using Buffers = std::span<const boost::asio::const_buffer>;

  // A null body: the head alone. What is sent must outlive this.
  Sending(std::string_view head, const Pieces* body)
      : head_(head), body_(body), left_(head.size() + (body == nullptr ? 0 : body->size())) {}

  bool done() const { return left_ == 0; }

  // As much as one write takes. Valid until the next call.
  Buffers next() {
    std::size_t count = 0;
    if (!head_.empty()) buffers_[count++] = {head_.data(), head_.size()};
    if (body_ == nullptr) return {buffers_.data(), count};
    const auto& pieces = body_->pieces();
    auto skipped = sent_of_piece_;
    for (auto piece = piece_; piece < pieces.size() && count < buffers_.size(); ++piece) {
      const auto octets = pieces[piece].octets().substr(skipped);
      skipped = 0;
      if (!octets.empty()) buffers_[count++] = {octets.data(), octets.size()};
    }
    return {buffers_.data(), count};
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
  std::array<boost::asio::const_buffer, 64> buffers_;  // Asio hands the system no more in one call
};

}  // namespace frisket::http
