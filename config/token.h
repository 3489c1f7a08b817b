// Who may do what over HTTP, as the file of tokens says it.
//
// A token is 32 random octets (`frisketd token` makes them), so its plain SHA-256 gives nobody a way back: slow hashes
// and salt are for passwords, which can be guessed and come twice. Pure values; any thread.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace frisket::config {

// Each includes those before it.
enum class Right { read, operate, administer };

// "read", "operate", "administer".
std::string_view to_text(Right right);
std::optional<Right> right_from(std::string_view word);

// SHA-256 of the token's text (FIPS 180-4).
using TokenHash = std::array<std::uint8_t, 32>;

struct Token {
  std::string name;
  Right right = Right::read;
  TokenHash hash{};
  friend bool operator==(const Token&, const Token&) = default;
};

// Names that the access rules give to those who need no token.
inline constexpr std::string_view kLoopbackName = "loopback";
inline constexpr std::string_view kNobodyName = "nobody";

// Whether a token can have the name: one of syntax.h's, and none of those above.
bool is_token_name(std::string_view name);

// "desk operate 9f86d0...": the token's line in the file, without a line end.
std::string token_line(const Token& token);

// What the text of such a file says.
struct TokenLines {
  struct Trouble {
    int line = 0;      // counted from 1
    std::string what;  // never shows a hash, or what may be a token
  };
  std::vector<Token> tokens;  // of the lines that are well
  std::vector<Trouble> troubles;
};

// One token a line: name, right and hash (64 hexadecimal digits) with blanks between; the rest of a line from "#"
// on is a comment. Names are unique, and so are hashes.
TokenLines parse_tokens(std::string_view text);

}  // namespace frisket::config
