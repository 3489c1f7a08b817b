// A body for Beast's serializer that is sent from the pieces it consists of. Inside daemon/http only.
#pragma once

#include <array>
#include <boost/asio/buffer.hpp>
#include <boost/beast/core/span.hpp>
#include <boost/beast/http/message.hpp>
#include <boost/optional.hpp>
#include <cstdint>
#include <utility>

#include "daemon/http/pieces.h"

namespace frisket::http {

struct PiecesBody {
  // Null: nothing is sent. Must outlive the serializer.
  using value_type = const Pieces*;

  static std::uint64_t size(const value_type& body) { return body == nullptr ? 0 : body->size(); }

  class writer {
   public:
    using const_buffers_type = boost::beast::span<const boost::asio::const_buffer>;

    template <bool isRequest, class Fields>
    writer(const boost::beast::http::header<isRequest, Fields>& /*header*/, const value_type& body) : body_(body) {}

    void init(boost::beast::error_code& error) { error = {}; }

    boost::optional<std::pair<const_buffers_type, bool>> get(boost::beast::error_code& error) {
      error = {};
      if (body_ == nullptr) return boost::none;
      const auto& pieces = body_->pieces();
      std::size_t count = 0;
      for (; count < at_once_.size() && next_ < pieces.size(); ++next_) {
        const auto octets = pieces[next_].octets();
        if (!octets.empty()) at_once_[count++] = {octets.data(), octets.size()};
      }
      if (count == 0) return boost::none;
      return {{const_buffers_type(at_once_.data(), count), next_ < pieces.size()}};
    }

   private:
    const Pieces* body_;
    std::size_t next_ = 0;
    // Asio hands the system 64 buffers at most in one call; the header needs some of them.
    std::array<boost::asio::const_buffer, 48> at_once_;
  };
};

}  // namespace frisket::http
