// The octets of an answer's body as a sequence of texts that others keep and show too, so that a list of thousands of
// objects costs references and not copies. Pure.
#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace frisket::http {

class Pieces {
 public:
  class Piece {
   public:
    // `from`: the first octet that counts, at most the text's size.
    Piece(std::shared_ptr<const std::string> text, std::size_t from) : text_(std::move(text)), from_(from) {}
    std::string_view octets() const { return std::string_view(*text_).substr(from_); }

   private:
    std::shared_ptr<const std::string> text_;
    std::size_t from_;
  };

  Pieces() = default;
  explicit Pieces(std::string text) { add(std::move(text)); }

  void add(std::string text) { add(std::make_shared<const std::string>(std::move(text))); }

  // The text must not change any more.
  void add(std::shared_ptr<const std::string> text, std::size_t from = 0) {
    size_ += text->size() - from;
    pieces_.emplace_back(std::move(text), from);
  }

  void add(const Pieces& more) {
    pieces_.insert(pieces_.end(), more.pieces_.begin(), more.pieces_.end());
    size_ += more.size_;
  }

  std::size_t size() const { return size_; }  // octets of all
  bool empty() const { return size_ == 0; }
  const std::vector<Piece>& pieces() const { return pieces_; }

  // All in one: for what is short.
  std::string text() const {
    std::string whole;
    whole.reserve(size_);
    for (const auto& piece : pieces_) whole += piece.octets();
    return whole;
  }

 private:
  std::vector<Piece> pieces_;
  std::size_t size_ = 0;
};

}  // namespace frisket::http
