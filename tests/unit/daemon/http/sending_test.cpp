#include "daemon/http/sending.h"

#include <catch2/catch.hpp>
#include <random>

using frisket::http::Pieces;
using frisket::http::Sending;

namespace {

constexpr std::size_t kPieces = 64;  // that a write takes

Pieces pieces_of(int count) {
  Pieces pieces;
  for (int i = 0; i < count; ++i) {
    pieces.add(std::make_shared<const std::string>("," + std::to_string(i)), i == 0 ? 1 : 0);
    if (i % 3 == 0) pieces.add(std::string());
  }
  return pieces;
}

std::string joined(int count) {
  std::string all;
  for (int i = 0; i < count; ++i) all.append(i == 0 ? "" : ",").append(std::to_string(i));
  return all;
}

// What a peer gets that takes at most `at_once` octets of each write.
std::string sent(Sending sending, std::size_t at_once) {
  std::string all;
  while (!sending.done()) {
    std::string offered;
    const auto buffers = sending.next();
    CHECK(buffers.size() <= kPieces);
    for (const auto& buffer : buffers) offered.append(static_cast<const char*>(buffer.iov_base), buffer.iov_len);
    REQUIRE_FALSE(offered.empty());
    offered.resize(std::min(offered.size(), at_once));
    all += offered;
    sending.sent(offered.size());
  }
  return all;
}

}  // namespace

TEST_CASE("an answer is sent whole and in order, however many pieces it has and however few octets are taken") {
  for (const int count : {0, 1, 2, 62, 63, 64, 65, 130, 1000}) {
    const auto pieces = pieces_of(count);
    CHECK(pieces.text() == joined(count));
    CHECK(pieces.size() == joined(count).size());
    for (const std::size_t at_once : {1, 2, 3, 7, 100, 100000}) {
      CAPTURE(count, at_once);
      CHECK(sent(Sending("head", &pieces, kPieces), at_once) == "head" + joined(count));
    }
  }
}

TEST_CASE("an answer to HEAD is its head alone") { CHECK(sent(Sending("head", nullptr, kPieces), 3) == "head"); }

TEST_CASE("an answer of nothing but empty pieces ends behind its head") {
  Pieces pieces;
  for (int i = 0; i < 200; ++i) pieces.add(std::string());
  CHECK(sent(Sending("head", &pieces, kPieces), 3) == "head");
}
